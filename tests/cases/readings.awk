# SPDX-License-Identifier: GPL-3.0-or-later
# tests/cases/readings.awk -- the figures of a diagnosis, worked out apart from
# the program; read behind events.awk, whose valves it shares.
#
# 60 psi, a meter that takes 6 psi at 60 gpm and `more` psi beyond that at 30
# gpm, 100 ft of pipe that climbs 20 ft: the pressure at n valves is found by
# halving an interval, and `more` as what leaves the least sum of squares
# between the gauges and the model, by halving too, of the slope.  A gauge
# within 1 psi has a standard deviation of 1 / 3^0.5 psi at each reading, and is
# off by the same in all of them, within 1 psi: by their mean, in the best case.
# The interval of 95 % is 1.96 standard deviations of the logarithm of `more`,
# from how the sum of squares bends.

function metered(gpm, more) {
    return 60 - 6 * (gpm / 60) ^ 2 - more * (gpm / 30) ^ 2
}

function read_with(n, more,  low, high, p, i, gpm) {
    high = 60 - 20 * weight
    for (i = 0; i < 100; i++) {
        p = (low + high) / 2
        gpm = n * drawn(p, 25, 35)
        if (metered(gpm, more) - 20 * weight - loss(gpm, 130, 1.25, 100) > p)
            low = p
        else
            high = p
    }
    return p
}

function misfit_with(more,  one, both, behind, still, off) {
    one = read_with(1, more); both = read_with(2, more)
    behind = read_behind - metered(2 * drawn(both, 25, 35), more)
    one = read_one - one; both = read_both - both
    still = 51.5 - (60 - 20 * weight)
    # the one ahead reads right; and beside a fault what the gauge is off by,
    # anywhere within 1 psi, weighs by its own variance of a third of that
    off = (one + both + behind + still) / 6
    off = off > 1 ? 1 : off < -1 ? -1 : off
    gauge_off = off
    return 3 * ((one - off) ^ 2 + (both - off) ^ 2 + (behind - off) ^ 2 \
        + (still - off) ^ 2 + off ^ 2 + off ^ 2)
}

function more_at_least(  low, high, i, more) {
    low = 1; high = 40
    for (i = 0; i < 40; i++) {
        more = (low + high) / 2
        if (misfit_with(more + 1e-5) < misfit_with(more - 1e-5))
            low = more
        else
            high = more
    }
    return more
}

function deviation_of(more,  step) {
    step = 0.01
    return sqrt(2 / ((misfit_with(more * exp(step)) - 2 * misfit_with(more) \
        + misfit_with(more * exp(-step))) / step ^ 2))
}

# NAME PLACE FLUSHING READ EXPECTED DIFFERENCE 1.0
function reading_row(text, read, expected) {
    out("row", text " " psi(read) " " psi(expected) " " \
        psi(read - expected) " 1.0")
}

function diagnosed_readings(  one, both) {
    one = read_with(1, 0); both = read_with(2, 0)
    reading_row("still x nothing", 51.5, 60 - 20 * weight)
    reading_row("ahead main both of x", 60, 60)
    reading_row("after m both of x", read_behind, \
        metered(2 * drawn(both, 25, 35), 0))
    reading_row("one x 1 of x", read_one, one)
    reading_row("both x both of x", read_both, both)
}

# What the gauge behind the meter must show once the meter takes what the file
# says: within 1 psi of that, or of what the gauge, off as it is, makes of it.
function after_work(  sound) {
    sound = metered(2 * drawn(read_with(2, 0), 25, 35), 0)
    if (gauge_off < 0)
        bad = 1
    out("row", "After m with both of x open must rise from 38.5 psi to " \
        "between " psi(sound - 1) " psi")
    out("text", "and " psi(sound + gauge_off + 1) " psi. Then take the")
}

function readings(  more, gpm, both, misfit, times) {
    si = 0; unit = "psi"; name = "diagnosed"; suffix = "diagnose.txt"
    read_behind = 38.5; read_one = 33.5; read_both = 16.5
    more = more_at_least()
    gpm = 2 * drawn(read_with(2, more), 25, 35)
    times = exp(1.96 * deviation_of(more))
    misfit = misfit_with(more)
    # near what was put in; of five squares one in a hundred is over 15.09
    if (abs(more - 15) > 0.5 || misfit > 15.09)
        bad = 1
    misfit -= 3 * gauge_off ^ 2 # of the gauge; the rest is the readings'
    more *= (gpm / 30) ^ 2
    diagnosed_readings()
    out("text", "FOUND: meter m partly plugged: about " show(more, 0) \
        " psi more lost with both of x open (" show(gpm, 0) " gpm).")
    after_work()
    suffix = "diagnose.full.txt"
    diagnosed_readings()
    after_work()
    out("row", "100.0 " show(misfit, 1) " meter m partly plugged: about " \
        show(more, 0) " psi more " show(more / times, 1) " to " \
        show(more * times, 1) " psi")
    suffix = "diagnose.json"
    out("json", "value " show(more, 2))
    out("json", "low " show(more / times, 1))
    out("json", "high " show(more * times, 1))
    out("json", "misfit " show(misfit, 3))
    out("json", "flow " show(gpm, 1))
    both = read_with(2, 0)
    out("json", "difference " show(read_both - both, 2))
    suffix = "sheet.txt"
    sheet_rows(both)
    suffix = "sheet.full.txt"
    sheet_rows(both)
}

# NAME PLACE FLUSHING EXPECTED READ 1.0
function sheet_rows(both) {
    after_work()
    out("like", ".?FIELD SHEET OF GAUGE READINGS page [0-9] of 2")
    out("row", "still x nothing " psi(60 - 20 * weight) " 51.5 1.0")
    out("row", "ahead main both of x 60.0 60.0 1.0")
    out("row", "after m both of x " \
        psi(metered(2 * drawn(both, 25, 35), 0)) " " psi(read_behind) " 1.0")
    out("row", "one x 1 of x " psi(read_with(1, 0)) " " psi(read_one) " 1.0")
    out("row", "both x both of x " psi(both) " " psi(read_both) " 1.0")
}
