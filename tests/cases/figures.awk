# SPDX-License-Identifier: GPL-3.0-or-later
# tests/cases/figures.awk -- the figures that the reports of tests/cases/ must
# show, worked out apart from the program: in feet, seconds and pounds.  Those
# of flush events, sizes, remedies, claims, readings and of sites side by side
# are in events.awk, sizes.awk, remedies.awk, claims.awk, readings.awk and
# sides.awk, which are read behind it.
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
        tell_full("row", what " " psi(lost) " " show(100 * lost / all, 0))
}

# In what is told on one screen and in the full report.
function tell_both(kind, text,  brief) {
    brief = suffix
    out(kind, text)
    sub(/txt$/, "full.txt", suffix)
    out(kind, text)
    suffix = brief
}

# In the full report alone.
function tell_full(kind, text,  brief) {
    brief = suffix
    sub(/txt$/, "full.txt", suffix)
    out(kind, text)
    suffix = brief
}

# One row where both states are the same, else two.
function in_states(what, before, after) {
    if (before == after)
        tell_full("row", what " both " before)
    else {
        tell_full("row", what " existing " before)
        tell_full("row", "after " after)
    }
}

function long_of(height) { return si ? show(height * 0.3048, 2) " m" \
    : show(height, 1) " ft" }

# The same in a dozen rows, down to what is required.
function ledger(source, from, climbs, lost, sag) {
    tell_both("row", "static at " source " " psi(from + sag))
    if (sag > 0)
        tell_both("row", source " drops at " flow(gpm) (si ? " L/s " : " gpm ") \
            psi(-sag) (sag > lost ? " largest loss" : ""))
    tell_both("row", "pipe and fittings " psi(-lost) \
        (lost >= sag ? " largest loss" : ""))
    tell_both("row", "elevation, " long_of(climbs / weight) " " psi(-climbs))
    tell_both("row", "residual at the fixture " psi(left))
}

# The same of `path` on one screen, by elements; what is no change is left
# blank.
function is_path() { return suffix ~ /^path/ }
function change(lost) { return lost != 0 ? psi(lost) " " : "" }
function by_element(source, pipe, fixture, from, rise, up, cost, sag) {
    out("row", "static at " source " " psi(from + sag))
    if (sag > 0)
        out("row", source " drops " flow(gpm) " " psi(sag) " " psi(from))
    out("row", "pipe " pipe " " flow(gpm) " " change(rise) change(cost) \
        psi(left + up))
    out("row", fixture " " flow(single) " " change(up) psi(left))
    out("text", "Largest loss: pipe " pipe ", " psi(cost) " of " \
        psi(cost + sag) " " unit " lost to flow.")
}
function end_of_elements(need, note, worst,  margin) {
    margin = left - need
    out("row", "required " psi(need))
    out("row", (margin < 0 ? "short by " : "margin ") psi(abs(margin)))
    out("text", "Required: " note ".")
    if (worst != "")
        out("text", "worst" (worst < 0 ? " case short by " : "-case margin ") \
            psi(abs(worst)) " " unit)
}

# Its end; `worst`: the margin in the worst case, where it is another.
function ledger_end(need, note, worst,  margin) {
    if (is_path()) {
        end_of_elements(need, note, worst)
        return
    }
    margin = left - need
    tell_both("row", "required " psi(need) " " note)
    tell_both("row", (margin < 0 ? "short by " : "margin ") psi(abs(margin)) \
        (worst == "" ? "" : " worst case: " (worst < 0 ? "short by " \
        : "margin ") psi(abs(worst))))
}

function signed(x) { return (x > 0 ? "+" : "") psi(x) }

# What both states have, side by side; `at_once` is words.
function screen(n, before, after, once_before, once_after, then, weak_before,
        weak_after, peak_before, peak_after, code,  fixture) {
    fixture = then
    sub(/^then /, "", fixture)
    tell_both("row", "fixtures short " (before < 0 ? n : 0) " of " n " " \
        (after < 0 ? n : 0) " of " n (after < 0 ? " " fixture : ""))
    tell_both("row", "least margin, " unit " " signed(before) " " signed(after) \
        " " fixture)
    # how long a tank lasts whose volume is not given nobody knows
    tell_both("row", "flush valves at once " once_before " " once_after \
        (name == "tank" ? " while tank has water" : ""))
    tell_both("row", "weak flushes, busiest time " weak_before " " weak_after)
    tell_both("row", "peak demand, " (si ? "L/s " : "gpm ") flow(peak_before) " " \
        flow(peak_after) " " code)
}

# The pressure budget: the source at `from`, one pipe, one fixture.  `sag`: of
# a street main, so much less than static.
function budget(source, pipe, fixture, from, rise, up, along, fit, sag,
        zero, cost, all) {
    zero = "0.0"
    cost = along + fit
    left = from - rise - along - fit
    if (sag > 0) {
        tell_full("row", source " static " psi(from + sag))
        tell_full("row", source " drop " flow(gpm) " " zero " " zero " " zero " " \
            psi(sag) " " psi(from))
    } else
        tell_full("row", source " source " flow(gpm) " " zero " " zero " " zero \
            " " zero " " psi(from))
    tell_full("row", pipe " pipe " flow(gpm) " " psi(rise) " " psi(along) " " \
        psi(fit) " " zero " " psi(left))
    left -= up
    tell_full("row", fixture " fixture " flow(single) " " psi(up) " " zero " " \
        zero " " zero " " psi(left))
    rise += up
    tell_full("row", "total " psi(rise) " " psi(along) " " psi(fit) " " \
        (sag > 0 ? psi(sag) : zero))
    all = (rise > 0 ? rise : 0) + sag + cost
    sort_of_loss("elevation", rise, all)
    sort_of_loss("drop of the main", sag, all)
    sort_of_loss("pipes", along, all)
    sort_of_loss("fittings", fit, all)
    tell_full("text", "Largest single loss: pipe " pipe ", " psi(cost) " of " \
        psi(cost + sag) " " unit " lost to flow")
    if (is_path())
        by_element(source, pipe, fixture, from, rise - up, up, cost, sag)
    else
        ledger(source, from, rise, cost, sag)
}

# Margins in the worst case against the minimums that are quoted, of a fixture
# with these worst flowing pressures.
function minima(fixture, before, after,  i, heads, cells, others) {
    for (i = 15; i <= 45; i += 10) {
        heads = heads " " (si ? psi(i) : i)
        cells = cells " " psi(before - i)
        others = others " " psi(after - i)
    }
    tell_full("row", "fixture state" heads)
    in_states(fixture, substr(cells, 2), substr(others, 2))
}

function verdict(margin) { return margin >= 0 ? "works" : "short" }

function margin_of(need, flowing) {
    return psi(need) " " psi(flowing) " " psi(flowing - need) " "
}

function prose(static, need, flowing,  margin, by) {
    margin = flowing - need
    by = psi(abs(margin)) " " unit
    tell_full("text", "Static " psi(static) " " unit "; required flowing " \
        psi(need) " " unit)
    tell_full("text", "At peak: flowing " psi(flowing) " " unit "; " \
        (margin < 0 ? "short by " by : by " to spare"))
    tell_full("text", "The supply " \
        (margin < 0 ? "must rise" : "may fall") " by " by)
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
function peaks(source, before, between, after, between_after, old, new) {
    in_states(source, flow(before) " " flow(between) " " flow(old), \
        flow(after) " " flow(between_after) " " flow(new))
}

# At the peak that counts.
function pipe_row(units, by_units, between, probably, gpm, cost) {
    return units " " flow(by_units) " " flow(between) " " flow(probably) " " \
        show(speed(gpm, bore) * (si ? 0.3048 : 1), si ? 2 : 1) " " psi(cost)
}

function works(  rise, up, along, fit, static, old, new) {
    name = "works"; gpm = 27; single = 25; bore = 1.625 - 2 * 0.060
    rise = 10 * weight; up = 0.5 * weight; static = 60 - rise - up
    along = loss(gpm, 140, bore, 40)
    fit = loss(gpm, 140, bore, 3 * 4 + 7)
    old = probable(1, 25, 3.5, 5); new = probable(1, 25, 1.28, 5)
    budget("feed", "branch", "wc", 60, rise, up, along, fit)
    ledger_end(35, "code minimum; valve minimum 25.0")
    screen(1, left - 35, left - 35, "all 1", "all 1", "wc", "0.0%", "0.0%", \
        gpm, gpm, "IPC table, next row")
    prose(static, 35, left)
    tell_both("text", "margin " psi(left - 35) " psi, at wc")
    tell_full("row", "wc water closet, flush valve branch 1 10.5 " psi(static))
    tell_full("row", "wc both " margin_of(35, left) verdict(left - 35))
    minima("wc", left, left)
    tell_full("row", "branch feed copper L 1-1/2 in 1.505 40.0 19.0 140 8.0")
    peaks("feed", gpm, gpm, gpm, gpm, old, new)
    in_states("branch", pipe_row("10.0", gpm, gpm, old, gpm, along + fit), \
        pipe_row("10.0", gpm, gpm, new, gpm, along + fit))
}

function ceiling(  from, rise, along, fit, static, old, new) {
    name = "ceiling"; gpm = 42; single = 25; bore = 2.125 - 2 * 0.070
    from = 52 - (52 - 44) * (gpm / 200) ^ (1 / 0.54)
    rise = 30 * weight; static = 52 - rise
    along = loss(gpm, 140, bore, 50)
    fit = loss(gpm, 140, bore, 0.5)
    old = probable(3, 25, 3.5, 5); new = probable(3, 25, 1.28, 5)
    budget("main", "riser", "wc", from, rise, 0, along, fit, 52 - from)
    ledger_end(40, "valve minimum; code minimum 35.0")
    screen(3, left - 35, left - 40, "all 3", "not even 1 wc", "wc", \
        "0.0%", "100.0% wc", gpm, gpm, "IPC table, next row")
    prose(static, 40, left)
    tell_both("text", "3 of 3 fixtures are short, by up to " psi(40 - left) " psi")
    if (static < 40)
        tell_both("text", "Static ceiling: wc has " psi(static) " psi static " \
            "and requires 40.0 psi flowing; no pipe can fix this")
    tell_full("text", psi(static) " psi static, 40.0 psi flowing required")
    tell_full("row", "wc water closet, flush valve riser 3 30.0 " psi(static))
    in_states("wc", margin_of(35, left) verdict(left - 35), \
        margin_of(40, left) verdict(left - 40))
    minima("wc", left, left)
    tell_full("row", "riser main copper L 2 in 1.985 50.0 0.5 140 8.0")
    peaks("main", gpm, gpm, gpm, gpm, old, new)
    in_states("riser", pipe_row("30.0", gpm, gpm, old, gpm, along + fit), \
        pipe_row("30.0", gpm, gpm, new, gpm, along + fit))
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
    ledger_end(35, "code minimum; valve minimum 25.0", low - 35)
    tell_full("text", "the C of the pipes (" psi(swing) " psi between worst and")
    if (suffix != "txt") {
        tell_full("text", "Best case: the supply may fall by " psi(high - 35) " psi")
        tell_full("text", "Worst case: it must rise by " psi(35 - low) " psi")
        return
    }
    tell_both("row", "fixtures short 0 of 1 0 of 1")
    tell_both("row", "fixtures not certain 1 of 1 1 of 1 wc")
    tell_both("row", "least margin, psi " psi(low - 35) " " psi(low - 35) " wc")
    # alone it may have less than the code's 35 psi
    tell_both("row", "flush valves at once not even 1 cannot tell" \
        " wc alone may be short")
    tell_both("row", "peak demand, gpm " flow(gpm) " " flow(gpm) " IPC table, next row")
    tell_full("text", "Static " psi(55 - rise) " to " psi(57 - rise) \
        " psi; required flowing 35.0 psi")
    tell_full("text", "At peak: flowing " psi(low) " to " psi(high) \
        " psi; short by " psi(35 - low) " psi in the worst case, " \
        psi(high - 35) " psi to spare in the best")
    tell_full("text", "fall by " psi(high - 35) " psi")
    tell_full("text", "rise by " psi(35 - low) " psi")
    tell_full("row", "wc water closet, flush valve service 1 21.0 " \
        psi(55 - rise) ".." psi(57 - rise))
    tell_full("row", "wc both 35.0 " psi(low) ".." psi(high) " " psi(low - 35) \
        ".." psi(high - 35) " cannot tell")
    tell_full("text", psi(low) " to " psi(high) " psi flowing")
    minima("wc", low, low)
    tell_full("row", "service main copper L 1-1/2 in 1.505 80.0 8.0 95 8.0")
    peaks("main", gpm, gpm, gpm, gpm, \
        probable(1, 25, 3.5, 5), probable(1, 25, 1.28, 5))
    tell_full("row", "service both 10.0 " flow(gpm) " " flow(gpm) " " flow(25) \
        " " show(speed(gpm, bore), 1) " " psi(best) ".." psi(worst))
    suffix = "json"
    json_range("static", 56 - rise, 55 - rise, 57 - rise)
    json_range("flowing", left, low, high)
    json_range("margin", left - 35, low - 35, high - 35)
    json_range("spare", left - 35, low - 35, high - 35)
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

function overpressure(  rise, full_length, along, fit, before, static, old,
        new) {
    name = "static"; gpm = 31.8; single = 25; bore = 2.125 - 2 * 0.070
    rise = 4 * weight; static = 95 - rise
    full_length = 80 + 2 * 5.5 + 9
    along = loss(gpm, 130, bore, 80)
    fit = loss(gpm, 130, bore, 2 * 5.5 + 9)
    old = probable(3, 25, 3.5, 5); new = probable(3, 25, 1.28, 5)
    before = 95 - rise - loss(38, 130, bore, full_length)
    budget("feed", "branch", "wc", 95, rise, 0, along, fit)
    ledger_end(25, "valve minimum; code minimum 15.0")
    screen(3, before - 15, left - 25, "all 3", "all 3", "wc", "0.0%", \
        "0.0%", 38, gpm, "UPC table, next row")
    prose(static, 25, left)
    tell_full("row", "wc water closet, flush valve branch 3 4.0 " psi(static))
    in_states("wc", margin_of(15, before) verdict(before - 15), \
        margin_of(25, left) (static > 80 ? "too high" : verdict(left - 25)))
    tell_full("text", psi(static) " psi static, limit 80.0 psi (valve maximum)")
    if (static > 80)
        tell_both("text", "TOO HIGH: static " psi(static) " psi at wc")
    minima("wc", before, left)
    tell_full("row", "branch feed copper L 2 in 1.985 80.0 20.0 130 8.0")
    # units to gpm: 14 30.2, 16 31.8, 20 35, 25 38
    peaks("feed", 38, 35 + 3 * 4 / 5, gpm, 30.2 + 1.6 / 2, old, new)
    in_states("branch", pipe_row(3 * 8 ".0 90.0", 38, 35 + 3 * 4 / 5, old, \
        38, loss(38, 130, bore, full_length)), pipe_row(3 * 5 ".0 90.0", \
        gpm, 30.2 + 1.6 / 2, new, gpm, along + fit))
    tell_full("text", "is from 15.0 fixture units")
    tell_full("text", "UPC Table 610.10, 90.0")
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
    ledger_end(25, "code minimum; valve minimum 150")
    if (suffix != "txt") {
        tell_full("text", "The supply may fall by " psi(left - 25) " kPa")
        return
    }
    prose(static, 25, left)
    screen(3, left - 25, left - 25, "all 3", "all 3", "urinal", "0.0%", \
        "0.0%", gpm, gpm, "IPC table, next row")
    tell_both("text", "least margin " psi(left - 25) " kPa, at urinal")
    tell_full("row", "urinal urinal, flush valve drop 3 5.20 " psi(static))
    tell_full("row", "urinal both " margin_of(25, left) verdict(left - 25))
    minima("urinal", left, left)
    tell_full("row", "drop tank copper en 1057 42 mm " show(bore * 25.4, 1) \
        " 34.00 " show(19 * 0.3048, 2) " 130 2.00")
    litres = 60 / 3.785411784 # gpm to a litre a second
    old = probable(3, 12, 1, 5)
    new = probable(3, 0.75 * litres, 1.9 * litres / 60, 5)
    peaks("tank", gpm, gpm, gpm, gpm, old, new)
    in_states("drop", pipe_row("15.0", gpm, gpm, old, gpm, along + fit), \
        pipe_row("15.0", gpm, gpm, new, gpm, along + fit))
    tell_full("text", show(weight * metre * 6.894757, 3) " kPa per m")
    suffix = "json"
    out("json", "static " json_psi(static))
    out("json", "required " json_psi(25))
    out("json", "flowing " json_psi(left))
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
    before = static - loss(old, 140, bore, 60 + 2 * 7)
    budget("feed", "riser", "wc", 70, rise, 0, along, fit)
    ledger_end(35, "code minimum; valve minimum 25.0")
    screen(12, before - 35, left - 35, "all 12", "all 12", "wc", "0.0%", \
        "0.0%", old, new, "by probability")
    prose(static, 35, left)
    tell_both("text", "least margin " psi(left - 35) " psi, at wc")
    tell_full("row", "wc water closet, flush valve riser 12 15.0 " psi(static))
    in_states("wc", margin_of(35, before) verdict(before - 35), \
        margin_of(35, left) verdict(left - 35))
    minima("wc", before, left)
    peaks("feed", 73, 73, 73, 73, old, new)
    tell_full("row", "riser feed copper L 2-1/2 in " show(bore, 3) \
        " 60.0 14.0 140 8.0")
    in_states("riser", pipe_row("120.0", 73, 73, old, old, static - before), \
        pipe_row("120.0", 73, 73, new, new, along + fit))
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
    sides()
    exit bad
}
