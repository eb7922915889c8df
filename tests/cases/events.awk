# SPDX-License-Identifier: GPL-3.0-or-later
# tests/cases/events.awk -- the figures of flush events, worked out apart from
# the program; read behind figures.awk, whose units and sources it shares.
#
# A valve draws rate sqrt(p / at) at its own pressure p.  One unknown, the
# pressure at the valve, is found by halving an interval: what the pipe leaves
# at the flow drawn at p falls as p rises.  With two branches the unknown is
# the pressure where they part, and in each branch another.

function drawn(p, rate, at) {
    return p > 0 ? rate * sqrt(p / at) : 0
}

# What a flow test makes of the source's static pressure.
function sag(static, residual, tested, gpm) {
    return static - (static - residual) * (gpm / tested) ^ (1 / 0.54)
}

# What one pipe leaves at a flow: from, tested, rise, up, c, bore and long.
function source_at(gpm) {
    return tested ? sag(from, residual, tested, gpm) : from
}
function pipe_end(gpm) {
    return source_at(gpm) - rise - loss(gpm, c, bore, long)
}

# The pressure at n open valves at the end of that pipe.
function settle(n, rate, at,  low, high, p, i) {
    low = -1000; high = from - rise - up
    for (i = 0; i < 100; i++) {
        p = (low + high) / 2
        if (pipe_end(n * drawn(p, rate, at)) - up > p)
            low = p
        else
            high = p
    }
    return p
}

function word(p, least) { return p >= least ? "works" : "short" }

function still_pipe() { return from - rise }

# A gauge at the outlet of an element: of a pipe, its bore given, the velocity
# stands in the full report; of others, "meter meter" and "source main", a row
# on the screen too.
function element_row(text, height, gpm, still, now, bore,  device) {
    tell_full("row", text " " show(height, si ? 2 : 1) " " flow(gpm) " " \
        (bore ? show(speed(gpm, bore) * (si ? 0.3048 : 1), si ? 2 : 1) " " \
        : "") psi(still) " " psi(now) " " psi(still - now))
    if (bore)
        return
    split(text, device, " ")
    out("row", (device[1] == device[2] ? device[1] : device[2] " " device[1]) \
        " " flow(gpm) " " psi(still) " " psi(now) " " psi(still - now))
}

# One at a valve that flushes; `open`: "1 of 1".  The screen says how many of
# how many flush, where there are several, unless all valves do.
function valve_row(fixture, open, gpm, still, p, least, all) {
    tell_full("row", fixture " " open " " flow(gpm) " " psi(still) " " psi(p) \
        " " psi(least) " " psi(p - least) " " word(p, least))
    out("row", fixture (all || open ~ / 1$/ ? "" : ", " open) " " flow(gpm) \
        " " psi(still) " " psi(p) " " psi(still - p) " " psi(least) " " \
        psi(p - least))
}

# A report on n of `count` valves at the end of one pipe.
function one_pipe(n, count, rate, at, least, source, pipe, low_end, high_end,
        all,  p, gpm) {
    p = settle(n, rate, at)
    gpm = drawn(p, rate, at)
    suffix = "flush.txt"
    valve_row("wc", n " of " count, gpm, still_pipe() - up, p, least, all)
    tell_both("text", flow(n * gpm) " " (si ? "L/s" : "gpm") \
        " leave the source")
    element_row(source, low_end, n * gpm, from, source_at(n * gpm))
    element_row(pipe, high_end, n * gpm, still_pipe(), pipe_end(n * gpm), bore)
    if (p < least)
        tell_both("text", "wc short by " psi(least - p) " " unit)
    else if (n == 1)
        tell_both("text", ", " psi(p - least) " " unit " to spare")
    else
        tell_both("text", "least margin " psi(p - least) " " unit \
            ", at wc")
    return p
}

function set_works() {
    from = 60; tested = 0; rise = 10 * weight
    up = 0.5 * weight; c = 140; bore = 1.625 - 2 * 0.060; long = 40 + 3 * 4 + 7
}

function event_works() {
    name = "works"; set_works()
    one_pipe(1, 1, 25, 35, 35, "feed source", "branch pipe", 0, 10)
}

function set_ceiling() {
    from = 52; residual = 44; tested = 200
    rise = 30 * weight; up = 0; c = 140; bore = 2.125 - 2 * 0.070
    long = 50.5
}

function event_ceiling() {
    name = "ceiling"; set_ceiling()
    one_pipe(3, 3, 25, 40, 40, "main source", "riser pipe", 0, 30, 1)
}

function set_static() {
    from = 95; tested = 0; rise = 4 * weight; up = 0
    c = 130; bore = 2.125 - 2 * 0.070; long = 80 + 2 * 5.5 + 9
}

function event_static() {
    name = "static"; set_static()
    one_pipe(2, 3, 25, 35, 15, "feed source", "branch pipe", 0, 4)
}

# At the worst ends and at the best, and the middle of each range for the
# elements.
function event_unknown(  worst, best, middle, still, gpm) {
    name = "unknown"; suffix = "flush.txt"; tested = 0; rise = 21 * weight
    up = 0; bore = 1.625 - 2 * 0.060
    from = 55; c = 60; long = 108; worst = settle(1, 25, 35)
    still = psi(still_pipe()) ".."
    from = 57; c = 130; long = 68; best = settle(1, 25, 35)
    still = still psi(still_pipe())
    from = 56; c = 95; long = 88; middle = settle(1, 25, 35)
    gpm = drawn(middle, 25, 35)
    tell_full("row", "wc 1 of 1 " flow(drawn(worst, 25, 35)) ".." \
        flow(drawn(best, 25, 35)) " " still " " psi(worst) ".." \
        psi(best) " " psi(35) " " psi(worst - 35) ".." psi(best - 35))
    out("row", "wc " flow(gpm) " " psi(still_pipe()) " " psi(middle) " " \
        psi(still_pipe() - middle) " " psi(35) " " psi(worst - 35))
    tell_both("text", "between " psi(35 - worst) " psi short and " \
        psi(best - 35) " psi to spare")
    element_row("main source", 0, gpm, from, from)
    element_row("service pipe", 21, gpm, still_pipe(), pipe_end(gpm), bore)
}

function set_tank(  metre) {
    metre = 1 / 0.3048
    from = metre * weight; tested = 0; rise = -26 * metre * weight
    up = 1.2 * metre * weight; c = 130; bore = (42 - 2 * 1.2) / 25.4
    long = 34 * metre + 3 * 4 + 7
}

function event_tank(  rate, at, p, gpm) {
    name = "tank"; suffix = "flush.txt"; set_tank()
    rate = 0.75 / 0.0630902; at = 175 / 6.894757
    p = settle(2, rate, at)
    gpm = drawn(p, rate, at)
    valve_row("urinal", "2 of 3", gpm, still_pipe() - up, p, 150 / 6.894757)
    tell_both("text", flow(2 * gpm) " L/s leave the source")
    element_row("tank source", 30, 2 * gpm, from, from)
    element_row("drop pipe", 4, 2 * gpm, still_pipe(), pipe_end(2 * gpm), bore)
}

# ---- In the busiest period ----
#
# Beside a valve that flushes, k of the n - 1 others are on with the binomial
# chance of k at on = volume / rate / interval (method as in figures.awk).  All
# states of so few valves are solved: the chance is exact, the mean off by no
# more than rounding to a pascal, taken here as 0.05 psi, and the 5th percentile
# by the width of a class, a 400th of the pressure alone.

function chance_of(k, n, on,  i, x) {
    x = (1 - on) ^ (n - k)
    for (i = 0; i < k; i++)
        x *= (n - i) / (i + 1) * on
    return x
}

# Every figure from low to high as it may be printed.
function between(low, high,  unit_of, decimals, i, text) {
    unit_of = si ? 6.894757 : 1; decimals = si ? 0 : 1
    for (i = int(low * unit_of * 10 ^ decimals + 0.5);
         i <= int(high * unit_of * 10 ^ decimals + 0.5); i++)
        text = text (text == "" ? "" : "|") \
            sprintf("%." decimals "f", i / 10 ^ decimals)
    gsub(/\./, "\\.", text)
    return "(" text ")"
}

# Weak chance, its interval, mean and 5th percentile.  Every flush must be weak
# or none.  `ends`: what stands behind it where there are ranges.
function busy(n, rate, at, least, on, ends,  k, p, weak, mean, sum, fifth) {
    for (k = n - 1; k >= 0; k--) {
        p = settle(k + 1, rate, at)
        mean += chance_of(k, n - 1, on) * p
        if (p < least)
            weak += chance_of(k, n - 1, on)
        if (sum < 0.05 && sum + chance_of(k, n - 1, on) >= 0.05)
            fifth = p
        sum += chance_of(k, n - 1, on)
    }
    if (weak > 1e-12 && weak < 1 - 1e-12 || abs(sum - 1) > 1e-12)
        bad = 1
    return (weak > 0.5 \
        ? "100\\.0 100\\.0\\.\\.100\\.0" \
        : "0\\.0 0\\.0\\.\\.0\\.0") " " \
        (ends ? escaped(ends) " " : "") \
        between(mean - 0.05, mean + 0.05) " " \
        between(fifth - p / 400, fifth + p / 400) # p: alone
}

function escaped(text) {
    gsub(/\./, "\\.", text)
    return text
}

# A row of one state: alone where that of the other looks different.
function in_state(fixture, state, text) {
    tell_full("like", state == "existing" ? fixture " (both|existing) " text \
        : "(" fixture " both|after) " text)
}

# A row of n like valves: alone, most at once, and the busiest period.
function when(fixture, state, n, rate, at, least, on,  most) {
    while (most < n && settle(most + 1, rate, at) >= least)
        most++
    in_state(fixture, state, escaped(psi(settle(1, rate, at))) " " \
        (most == n ? "all " : "") most + 0)
    in_state(fixture, state, busy(n, rate, at, least, on))
}

function check_events() {
    suffix = "txt"
    set_works(); name = "works"
    when("wc", "existing", 1, 25, 35, 35, 3.5 / 25 / 5)
    when("wc", "after", 1, 25, 35, 25, 1.28 / 25 / 5)
    set_ceiling(); name = "ceiling"
    when("wc", "existing", 3, 25, 35, 35, 3.5 / 25 / 5)
    when("wc", "after", 3, 25, 40, 40, 1.28 / 25 / 5)
    set_static(); name = "static"
    when("wc", "existing", 3, 25, 35, 15, 3.5 / 25 / 5)
    when("wc", "after", 3, 25, 35, 25, 1.28 / 25 / 5)
    name = "probable"; from = 70; tested = 0; rise = 15 * weight; up = 0
    c = 140; bore = 2.625 - 2 * 0.080; long = 60 + 2 * 7
    when("wc", "existing", 12, 25, 35, 35, 3.5 / 25 / 2)
    when("wc", "after", 12, 25, 35, 25, 1.28 / 25 / 2)
    check_unknown()
}

function check_unknown(  p, q, text) {
    name = "unknown"; tested = 0; rise = 21 * weight; up = 0
    bore = 1.625 - 2 * 0.060
    from = 55; c = 60; long = 108; p = settle(1, 25, 35)
    from = 57; c = 130; long = 68; q = settle(1, 25, 35)
    text = psi(p) ".." psi(q) " "
    tell_full("row", "wc existing " text "0..1")
    tell_full("row", "after " text "all 1")
    if (p >= 35 || q < 35 || p < 25)
        bad = 1
    from = 56; c = 95; long = 88
    # alone, p at worst: under 35 every flush is weak, over 25 none
    in_state("wc", "existing", busy(1, 25, 35, 35, 3.5 / 25 / 5, \
        "0.0..100.0"))
    in_state("wc", "after", busy(1, 25, 35, 25, 1.28 / 25 / 5, "0.0..0.0"))
    tell_both("row", "weak flushes, busiest time 100.0% 0.0%")
    suffix = "json"
    json_range("alone", settle(1, 25, 35), p, q)
}

function check_tank() {
    name = "tank"; suffix = "txt"
    set_tank()
    when("urinal", "existing", 3, 12, 25, 25, 1.0 / 12 / 5)
    when("urinal", "after", 3, 0.75 / 0.0630902, 175 / 6.894757, \
        150 / 6.894757, 1.9 / 0.75 / 300)
    suffix = "json"
    out("json", "alone " json_psi(settle(1, 12, 25)))
}

# ---- Two branches on one riser ----

function closet(p) { return drawn(p, 25, 35) }
# regulated: no more above the pressure of its rate
function urinal(p) { return p > 25 ? 12 : drawn(p, 12, 25) }

# The pressure at the valves of a branch whose head has `head`.
function left_end(head,  low, high, p, i) {
    low = -1000; high = head - 0.5 * weight
    for (i = 0; i < 100; i++) {
        p = (low + high) / 2
        if (head - loss(2 * closet(p), 130, 1.505, 30 + 7) - 0.5 * weight > p)
            low = p
        else
            high = p
    }
    return p
}

function right_end(head,  low, high, p, i) {
    low = -1000; high = head + weight
    for (i = 0; i < 100; i++) {
        p = (low + high) / 2
        if (head - loss(urinal(p), 130, 1.505, 45 + 3 * 4 + 7) + weight > p)
            low = p
        else
            high = p
    }
    return p
}

function meter_end(gpm) { return sag(58, 50, 90, gpm) - 6 * (gpm / 60) ^ 2 }
function riser_end(gpm) {
    return meter_end(gpm) - 9 * weight - loss(gpm, 130, 1.985, 60 + 2 * 5.5)
}

function other_row(text, height, still, now,  words) {
    tell_full("row", text " " show(height, 1) " " psi(still) " " psi(now) \
        " " psi(still - now))
    split(text, words, " ")
    out("row", words[1] " " psi(still) " " psi(now) " " psi(still - now))
}

function event_shared(  low, high, head, i, wc, ur, q, left, right, rest) {
    name = "shared"; suffix = "flush.txt"
    low = -1000; high = 58
    for (i = 0; i < 100; i++) {
        head = (low + high) / 2
        q = 4 + 2 * closet(left_end(head)) + urinal(right_end(head))
        if (riser_end(q) > head)
            low = head
        else
            high = head
    }
    wc = left_end(head); ur = right_end(head); rest = riser_end(4)
    left = wc + 0.5 * weight; right = ur + 2 * weight
    valve_row("wc", "2 of 2", closet(wc), rest - 0.5 * weight, wc, 38)
    valve_row("urinal", "1 of 1", urinal(ur), rest + weight, ur, 20)
    if (wc >= 38 || ur < 20)
        bad = 1
    tell_both("text", "2 of 3 valves that flush are below their minimum, " \
        "wc short by " psi(38 - wc) " psi")
    tell_both("text", flow(q) " gpm leave the source")
    if (speed(2 * closet(wc), 1.505) <= 8)
        bad = 1
    out("text", "left: " show(speed(2 * closet(wc), 1.505), 1) \
        " ft/s while these flush (" flow(2 * closet(wc)) " gpm), limit 8.0")
    other_row("basin lavatory", 10, rest - weight, left - weight)
    other_row("shower shower", 3, rest + 6 * weight, head + 6 * weight)
    element_row("main source", 0, q, sag(58, 50, 90, 4), sag(58, 50, 90, q))
    element_row("meter meter", 0, q, meter_end(4), meter_end(q))
    element_row("riser pipe", 9, q, rest, head, 1.985)
    element_row("left pipe", 9, 2 * closet(wc), rest, left, 1.505)
    element_row("right pipe", 6, urinal(ur), rest + 3 * weight, right,
        1.505)
    suffix = "flush.json"
    out("json", "flow " show(q, 2))
    out("json", "flow " show(closet(wc), 2))
    out("json", "pressure " show(wc, 2))
    out("json", "pressure " show(ur, 2))
    out("json", "pressure " show(head, 2))
    out("json", "static " show(rest - weight, 2))
    out("json", "valve_minimum 38.0")
}

function events() {
    si = 0; unit = "psi"
    event_works(); event_ceiling(); event_static(); event_unknown()
    event_shared(); check_events()
    si = 1; unit = "kPa"
    event_tank(); check_tank()
}
