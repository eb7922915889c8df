# SPDX-License-Identifier: GPL-3.0-or-later
# tests/cases/figures.awk -- the figures that the reports of tests/cases/ must
# show, worked out apart from the program: in feet, seconds and pounds.  Those
# of flush events, sizes, remedies, claims and readings are in events.awk,
# sizes.awk, remedies.awk, claims.awk and readings.awk, which are read behind
# it.
#
# Prints lines of FILE, KIND and TEXT, parted by tabs.  KIND is `row` (a line
# of the report, its spaces squeezed), `like` (the same as an extended regular
# expression, where figures are drawn at random), `text` (words within its
# prose) or `json` (a key and its figure, to as many decimals as here).
#
# Friction: Williams and Hazen, Hydraulic Tables (1905), V = 1.318 C R^0.63
# S^0.54.  Flow test: NFPA 291, flow as the 0.54 power of the drop.  Water at
# 60 degF: 62.367 lb/ft3 (handbook value, from memory).  1 gal = 231 in3.
#
# Typed from the published tables:
#   bore        ASTM B88, Table 1, type L: 1.625 in x 0.060 in, 2.125 in x
#               0.070 in, 2.625 in x 0.080 in; EN 1057, thin wall: 42 mm x
#               1.2 mm
#   fittings    IPC Appendix E, soldered copper (from memory): 1-1/2 in elbow
#               90 4, tee branch 7 ft; 2 in 5.5, 9, gate valve 0.5 ft; 2-1/2
#               in elbow 90 7 ft.  42 mm as 1-1/2 in (common practice)
#   C 140       new copper, handbook list 130 to 140
#   units       IPC Table E103.3(2), public (from memory): closet 10, urinal 5;
#               UPC 2018 Table A 103.1: closet 5, above 1.6 gal 8 (from memory)
#   falling     UPC Table 610.10 (from memory): 3 closets, 40 + 30 + 20
#   demand      IPC Table E103.3(3), valves: 10, 15, 30 units are 27, 31, 42
#               gpm, 120 are 73 (from memory); UPC Chart A 103.1 (from
#               memory): 16, 25 are 31.8, 38 gpm
#   pressure    IPC 2018 Table 604.3: closet 25 gpm at 35 psi, urinal 12 at 25;
#               UPC A 104.0: 15 psi
#   velocity    8 ft/s, Copper Tube Handbook; 2.0 m/s, EN 806-3
#   probable    NBS BMS 65 (1940): a valve is on with the chance t / T, T 5 min
#               (common practice); the peak is one valve and what the others
#               do not exceed in 99 % of the time, by the binomial law

function abs(x) { return x < 0 ? -x : x }

# A figure in print; one so near a tie that the recipe cannot tell which way
# it rounds is refused.
function show(x, decimals,  scaled) {
    scaled = abs(x) * 10 ^ decimals
    if (abs(scaled - int(scaled) - 0.5) < 0.01) {
        print name ": " x " is too near a tie" >"/dev/stderr"
        bad = 1
    }
    return sprintf("%." decimals "f", x)
}

# kPa to 1, but to 0.1 below 10
function psi(x) {
    return !si ? show(x, 1) \
        : show(x * 6.894757, abs(x * 6.894757) < 9.95 ? 1 : 0)
}
function flow(x) { return si ? show(x * 0.0630902, 2) : show(x, 1) }
function json_psi(x) { return show(si ? x * 6.894757 : x, 1) }
function out(kind, text) { print name "." suffix "\t" kind "\t" text }

function speed(gpm, bore) { # ft/s
    return gpm * 231 / 1728 / 60 / (3.14159265359 / 4 * (bore / 12) ^ 2)
}

function loss(gpm, c, bore, feet) { # psi
    return weight * feet * (speed(gpm, bore) \
        / (1.318 * c * (bore / 12 / 4) ^ 0.63)) ^ (1 / 0.54)
}

# One sort of loss; less than half a percent of all is left out.
function sort_of_loss(what, lost, all) {
    if (lost > 0.005 * all)
        out("row", what " " psi(lost) " " show(100 * lost / all, 0))
}

# The pressure budget: the source at `from`, one pipe, one fixture.  `sag`: of
# a street main, so much less than static.
function budget(source, pipe, fixture, from, rise, up, along, fit, sag,
        zero, cost, all) {
    zero = "0.0"
    cost = along + fit
    left = from - rise - along - fit
    if (sag > 0) {
        out("row", source " static " psi(from + sag))
        out("row", source " sag " flow(gpm) " " zero " " zero " " zero " " \
            psi(sag) " " psi(from))
    } else
        out("row", source " source " flow(gpm) " " zero " " zero " " zero \
            " " zero " " psi(from))
    out("row", pipe " pipe " flow(gpm) " " psi(rise) " " psi(along) " " \
        psi(fit) " " zero " " psi(left))
    left -= up
    out("row", fixture " fixture " flow(single) " " psi(up) " " zero " " \
        zero " " zero " " psi(left))
    rise += up
    out("row", "in all " psi(rise) " " psi(along) " " psi(fit) " " \
        (sag > 0 ? psi(sag) : zero))
    all = (rise > 0 ? rise : 0) + sag + cost
    sort_of_loss("elevation", rise, all)
    sort_of_loss("sag of the street main", sag, all)
    sort_of_loss("pipes", along, all)
    sort_of_loss("fittings", fit, all)
    out("text", "lost in pipe " pipe ": " psi(cost) " of " psi(cost + sag) \
        " " unit)
}

# What is left at the worst end against the minima that are quoted.
function minima(fixture, flowing,  i, heads, cells) {
    for (i = 15; i <= 45; i += 10) {
        heads = heads " " (si ? psi(i) : i)
        cells = cells " " psi(flowing - i)
    }
    out("row", "fixture flowing" heads)
    out("row", fixture " " psi(flowing) cells)
}

function verdict(margin) { return margin >= 0 ? "works" : "short" }

function prose(static, need, flowing,  margin, by) {
    margin = flowing - need
    by = psi(abs(margin)) " " unit
    out("text", "it has " psi(static) " " unit "; it needs " psi(need) " " \
        unit)
    out("text", psi(flowing) " " unit " is left: " by \
        (margin < 0 ? " short" : " to spare"))
    out("text", "The supply " \
        (margin < 0 ? "would have to rise" : "may fall") " by " by)
}

# n valves of one rate: flush volume over rate of every `minutes`, in gpm.
function probable(n, rate, gallons, minutes,  on, chance, sum, m) {
    on = gallons / rate / minutes
    chance = (1 - on) ^ (n - 1)
    for (sum = chance; sum < 0.99; sum += chance) {
        chance *= (n - 1 - m) / (m + 1) * on / (1 - on)
        m++
    }
    return rate * (m + 1)
}

# Before and after: by units, and n valves by probability.
# `between`: by interpolation between two rows of the demand table.
function peaks(before, between, after, between_after, old, new) {
    out("row", "as it stands " flow(before) " " flow(between) " " flow(old))
    out("row", "after the retrofit " flow(after) " " flow(between_after) " " \
        flow(new))
}

# At the peak by units.
function pipe_row(gpm, between, cost, probably) {
    return flow(gpm) " " flow(between) " " flow(probably) " " \
        show(speed(gpm, bore) * (si ? 0.3048 : 1), si ? 2 : 1) " " \
        (si ? "2.00" : "8.0") " " psi(cost)
}

function works(  rise, up, along, fit, static) {
    name = "works"; gpm = 27; single = 25; bore = 1.625 - 2 * 0.060
    rise = 10 * weight; up = 0.5 * weight; static = 60 - rise - up
    along = loss(gpm, 140, bore, 40)
    fit = loss(gpm, 140, bore, 3 * 4 + 7)
    budget("feed", "branch", "wc", 60, rise, up, along, fit)
    prose(static, 35, left)
    out("text", "margin is " psi(left - 35) " psi (at wc)")
    out("row", "wc 1 10.5 " psi(static) " 35.0 " psi(left) " " \
        psi(left - 35) " " verdict(left - 35))
    minima("wc", left)
    out("row", "branch feed copper L 1-1/2 in 1.505 40.0 19.0 140")
    peaks(gpm, gpm, gpm, gpm, \
        probable(1, 25, 3.5, 5), probable(1, 25, 1.28, 5))
    out("row", "branch 10.0 " pipe_row(gpm, gpm, along + fit, 25))
}

function ceiling(  from, rise, along, fit, static) {
    name = "ceiling"; gpm = 42; single = 25; bore = 2.125 - 2 * 0.070
    from = 52 - (52 - 44) * (gpm / 200) ^ (1 / 0.54)
    rise = 30 * weight; static = 52 - rise
    along = loss(gpm, 140, bore, 50)
    fit = loss(gpm, 140, bore, 0.5)
    budget("main", "riser", "wc", from, rise, 0, along, fit, 52 - from)
    prose(static, 40, left)
    if (static < 40)
        out("text", "No pipe can cure that")
    out("text", psi(static) " psi static, 40.0 psi flowing required")
    out("row", "wc 3 30.0 " psi(static) " 40.0 " psi(left) " " \
        psi(left - 40) " " verdict(left - 40))
    out("row", "wc 35.0 " psi(left) " " psi(left - 35) " " \
        verdict(left - 35) " stops working")
    minima("wc", left)
    out("row", "riser main copper L 2 in 1.985 50.0 0.5 140")
    peaks(gpm, gpm, gpm, gpm, \
        probable(3, 25, 3.5, 5), probable(3, 25, 1.28, 5))
    out("row", "riser 30.0 " pipe_row(gpm, gpm, along + fit, \
        probable(3, 25, 1.28, 5)))
}

# The worst end: least supply, longest and roughest pipe.  The middle of each
# range is the nominal value, and so is every other input while one is swung.
function unknown(  rise, low, high, static, worst, best, swing, other) {
    gpm = 27; single = 25; bore = 1.625 - 2 * 0.060
    rise = 21 * weight
    budget("main", "service", "wc", 56, rise, 0, loss(gpm, 95, bore, 80), \
        loss(gpm, 95, bore, 2 * 4))
    worst = loss(gpm, 60, bore, 100 + 8); best = loss(gpm, 130, bore, 60 + 8)
    low = 55 - rise - worst; high = 57 - rise - best
    swing = loss(gpm, 60, bore, 88) - loss(gpm, 130, bore, 88)
    other = loss(gpm, 95, bore, 40)
    if (swing < 57 - 55 || swing < other || low >= 35 || high < 35)
        bad = 1
    out("text", "it has between " psi(55 - rise) " and " psi(57 - rise) \
        " psi; it needs 35.0 psi")
    out("text", "between " psi(low) " and " psi(high) " psi is left: from " \
        psi(35 - low) " psi short to " psi(high - 35) " psi to spare")
    out("text", "fall by " psi(high - 35) " psi")
    out("text", "rise by " psi(35 - low) " psi")
    out("text", "the C of the pipes (" psi(swing) " psi between worst")
    if (suffix != "txt")
        return
    out("row", "wc water closet, flush valve service 1 21.0 " \
        psi(55 - rise) ".." psi(57 - rise))
    out("row", "wc 35.0 " psi(low) ".." psi(high) " " psi(low - 35) ".." \
        psi(high - 35) " cannot tell")
    out("text", psi(low) " to " psi(high) " psi flowing at peak")
    minima("wc", low)
    out("row", "service main copper L 1-1/2 in 1.505 80.0 8.0 95")
    peaks(gpm, gpm, gpm, gpm, \
        probable(1, 25, 3.5, 5), probable(1, 25, 1.28, 5))
    out("row", "service 10.0 " flow(gpm) " " flow(gpm) " " flow(25) " " \
        show(speed(gpm, bore), 1) " 8.0 " psi(best) ".." psi(worst))
    suffix = "json"
    json_range("static_pressure", 56 - rise, 55 - rise, 57 - rise)
    json_range("flowing_pressure", left, low, high)
    json_range("margin", left - 35, low - 35, high - 35)
    json_range("spare_pressure", left - 35, low - 35, high - 35)
    json_range("friction_loss", loss(gpm, 95, bore, 88), best, worst)
    json_minima(low)
    json_pipe("80.0", "8.0", "10.0", 25)
}

# At the worst end, as the rows of the text are.
function json_minima(flowing,  i) {
    for (i = 15; i <= 45; i += 10)
        out("json", "margins_against_quoted " json_psi(flowing - i))
}

function json_range(key, nominal, low, high) {
    out("json", key " " json_psi(nominal))
    out("json", key "_low " json_psi(low))
    out("json", key "_high " json_psi(high))
}

function json_pipe(long, equivalent, units, probably) {
    out("json", "length " long)
    out("json", "equivalent_length " equivalent)
    out("json", "fixture_units " units)
    out("json", "peak_flow " flow(gpm))
    out("json", "peak_flow_by_units " flow(gpm))
    out("json", "peak_flow_by_probability " flow(probably))
    out("json", "velocity " show(speed(gpm, bore) * (si ? 0.3048 : 1), si ? 2 : 1))
}

function overpressure(  rise, full, along, fit, before, static) {
    name = "static"; gpm = 31.8; single = 25; bore = 2.125 - 2 * 0.070
    rise = 4 * weight; static = 95 - rise
    full = 80 + 2 * 5.5 + 9
    along = loss(gpm, 130, bore, 80)
    fit = loss(gpm, 130, bore, 2 * 5.5 + 9)
    budget("feed", "branch", "wc", 95, rise, 0, along, fit)
    prose(static, 25, left)
    before = 95 - rise - loss(38, 130, bore, full)
    out("row", "wc 3 4.0 " psi(static) " 25.0 " psi(left) " " \
        psi(left - 25) " " (static > 80 ? "too high" : verdict(left - 25)))
    out("row", "wc 15.0 " psi(before) " " psi(before - 15) " " \
        verdict(before - 15) " keeps working")
    out("text", psi(static) " psi static, limit 80.0 psi (valve maximum)")
    if (static > 80)
        out("text", "TOO HIGH: static " psi(static) " psi at wc")
    minima("wc", left)
    out("row", "branch feed copper L 2 in 1.985 80.0 20.0 130")
    # units to gpm: 14 30.2, 16 31.8, 20 35, 25 38
    peaks(38, 35 + 3 * 4 / 5, gpm, 30.2 + 1.6 / 2, \
        probable(3, 25, 3.5, 5), probable(3, 25, 1.28, 5))
    out("row", "branch " 3 * 5 ".0 90.0 " pipe_row(gpm, \
        30.2 + 1.6 / 2, along + fit, \
        probable(3, 25, 1.28, 5)))
    out("row", "branch " 3 * 8 ".0 90.0 " \
        pipe_row(38, 35 + 3 * 4 / 5, loss(38, 130, bore, full), \
        probable(3, 25, 3.5, 5)))
    out("text", "from 15.0 fixture units")
    out("text", "UPC Table 610.10, 90.0")
}

function tank(  from, rise, up, along, fit, static, metre, litres, old,
        new) {
    gpm = 31; single = 12; bore = (42 - 2 * 1.2) / 25.4
    metre = 1 / 0.3048
    from = (31 - 30) * metre * weight; static = (31 - 5.2) * metre * weight
    rise = -26 * metre * weight; up = 1.2 * metre * weight
    along = loss(gpm, 130, bore, 34 * metre)
    fit = loss(gpm, 130, bore, 3 * 4 + 7)
    budget("tank", "drop", "urinal", from, rise, up, along, fit)
    prose(static, 25, left)
    if (suffix != "txt")
        return
    out("text", "margin is " psi(left - 25) " kPa (at urinal)")
    out("row", "urinal 3 5.20 " psi(static) " " psi(25) " " psi(left) " " \
        psi(left - 25) " " verdict(left - 25))
    minima("urinal", left)
    out("row", "drop tank copper en 1057 42 mm " show(bore * 25.4, 1) \
        " 34.00 " show(19 * 0.3048, 2) " 130")
    litres = 60 / 3.785411784 # gpm to a litre a second
    old = probable(3, 12, 1, 5)
    new = probable(3, 0.75 * litres, 1.9 * litres / 60, 5)
    peaks(gpm, gpm, gpm, gpm, old, new)
    out("row", "drop 15.0 " pipe_row(gpm, gpm, along + fit, new))
    out("row", "drop 15.0 " pipe_row(gpm, gpm, along + fit, old))
    out("text", show(weight * metre * 6.894757, 3) " kPa per m of elevation")
    suffix = "json"
    out("json", "static_pressure " json_psi(static))
    out("json", "required_pressure " json_psi(25))
    out("json", "flowing_pressure " json_psi(left))
    out("json", "margin " json_psi(left - 25))
    out("json", "friction_loss " json_psi(along + fit))
    out("json", "inside_diameter 39.6")
    json_minima(left)
    json_pipe("34.0", show(19 * 0.3048, 1), "15.0", new)
}

# Twelve closets, judged by the peak by probability; the interval is 2 min.
function by_chance(  rise, along, fit, static, old, new, before) {
    name = "probable"; bore = 2.625 - 2 * 0.080; single = 25
    old = probable(12, 25, 3.5, 2); new = probable(12, 25, 1.28, 2)
    gpm = new
    rise = 15 * weight; static = 70 - rise
    along = loss(gpm, 140, bore, 60)
    fit = loss(gpm, 140, bore, 2 * 7)
    budget("feed", "riser", "wc", 70, rise, 0, along, fit)
    prose(static, 35, left)
    out("text", "margin is " psi(left - 35) " psi (at wc)")
    out("row", "wc 12 15.0 " psi(static) " 35.0 " psi(left) " " \
        psi(left - 35) " " verdict(left - 35))
    before = static - loss(old, 140, bore, 60 + 2 * 7)
    out("row", "wc 35.0 " psi(before) " " psi(before - 35) " " \
        verdict(before - 35) " keeps working")
    minima("wc", left)
    peaks(73, 73, 73, 73, old, new)
    out("row", "riser feed copper L 2-1/2 in " show(bore, 3) \
        " 60.0 14.0 140")
    out("row", "riser 120.0 " flow(73) " " flow(73) " " flow(new) " " \
        show(speed(new, bore), 1) " 8.0 " psi(along + fit))
    out("row", "riser 120.0 " flow(73) " " flow(73) " " flow(old) " " \
        show(speed(old, bore), 1) " 8.0 " psi(static - before))
}

BEGIN {
    weight = 62.367 / 144 # psi per ft
    unit = "psi"; suffix = "txt"
    works(); ceiling(); overpressure(); by_chance()
    name = "unknown"; unknown()
    suffix = "path.txt"; unknown()
    si = 1; unit = "kPa"; name = "tank"
    suffix = "txt"; tank()
    suffix = "path.txt"; tank()
    events()
    sizes()
    remedies()
    claims()
    readings()
    exit bad
}
