# SPDX-License-Identifier: GPL-3.0-or-later
# tests/cases/remedies.awk -- the figures of what cures a building, worked out
# apart from the program; read behind sizes.awk, whose sources and functions it
# shares.
#
# Pipes to replace: every combination of sizes is tried, where those in place
# cost nothing.  Any other lever goes by steps of 0.1 psi or 0.1 ft (0.1 m) of
# head as far as what is short at peak asks.  A booster gives a fifth more head
# with no flow than at its duty (common practice).

# Steps of 0.1, as few as reach x.
function steps_up(x) { return ceiling_of(x * 10) }
function ceiling_of(x) { return x > int(x) ? int(x) + 1 : int(x) }
function floor_of(x) { return x < int(x) ? int(x) - 1 : int(x) }

# Rounded down, as what may be at most is; and up, as what must be at least.
function down(x) { return sprintf("%.1f", floor_of(x * 10) / 10) }
function up_to(x) { return sprintf("%.1f", ceiling_of(x * 10) / 10) }

# Pipe i as it is.
function left_in_place(i, label,  k) {
    for (k = 1; k <= n_sizes; k++)
        if (label_of[k] == label)
            in_place[i] = size[i] = k
}

function nothing_replaced(  i) {
    for (i = 1; i <= n_pipes; i++)
        size[i] = in_place[i]
}

# Rows of what is replaced, and "riser (1-1/2 in to 2 in) and ..."
function replaced(  i, k, text) {
    for (i = 1; i <= n_pipes; i++) {
        k = size[i]
        if (k == in_place[i])
            continue
        out("row", title_of[i] " copper L " label_of[in_place[i]] " " \
            label_of[k] " " \
            long_as(feet_of[i]) " " flow(peak_of[i, 1]) " " \
            quick(peak_of[i, 1], bore_of[k]) " " psi(takes[1, i, k]) " " \
            priced(cost_of(i, k)))
        text = text (text ? " and " : "") title_of[i] " (" \
            label_of[in_place[i]] " to " label_of[k] ")"
    }
    return text
}

# A reducer with 6 psi of fall-off at 60 gpm, in proportion to the flow.
function behind_reducer(set) { return set - 6 * 38 / 60 }

# Only the state to be is cured, so it stands in the place of the first.
function cured_site() {
    name = "cured"; suffix = "remedy.full.txt"
    nothing_yet(); sizes_of_copper_l()
    c = 140; fastest = 8; states = 1
    a_pipe("riser", 0, 40, 14, 2, 0, 0, 0, 0); flows(1, 38)
    a_pipe("west", 1, 20, 0, 0, 1, 0, 0, 0.75); flows(2, 27)
    a_pipe("east", 1, 35, 6, 2, 1, 0, 0, 0.75); flows(3, 31)
    a_fixture("west-urinal", 2, 2, 28); a_fixture("east-urinal", 3, 2, 28)
    left_in_place(1, "1-1/2 in"); left_in_place(2, "1-1/2 in")
    left_in_place(3, "1-1/4 in")
    given[1] = behind_reducer(43)
    prepare(); nothing_replaced(); spares()
}

function cured_pipes(lead) {
    cheapest()
    out("text", lead replaced() ". Cost of pipe: " \
        priced(best_cost) " inch-feet.")
}

# What pressure alone does, of the reducer or behind it.
function cured_pressure(short,  steps, head, still) {
    steps = steps_up(short)
    out("text", "3. Raise the set pressure of prv by " \
        show(steps / 10, 1) " psi (now 43.0 psi, then " \
        show(43 + steps / 10, 1) " psi); east-urinal governs.")
    head = steps_up(short / weight) / 10
    still = 43 + weight * (1.2 * head - 14 - 2)
    out("text", "4. Install a booster downstream of prv with " \
        show(head, 1) " ft of head at 38.0 gpm. Its shutoff head is a " \
        "fifth more (common practice), " show(1.2 * head, 1) " ft, putting " \
        "west-urinal at " psi(still) " psi static; east-urinal governs.")
    if (sag(78, 68, 120, 38) - 8 < 43 + steps / 10)
        refuse("the street cannot feed the reducer")
    return steps
}

# Of the setting: what east must have at peak, and what west may have.
function cured_window(short) {
    out("row", "prv 43.0 " up_to(43 + short) " " \
        down(60 + weight * (14 + 2)) " east-urinal west-urinal")
}

function cured_floors(short, west) {
    out("row", "22.0 east-urinal " down(28 - short) " 28.0 -")
    out("row", "16.0 west-urinal " down(28 + west) " 28.0 -")
    out("text", "ones of at most " down(28 - short) " psi (now 28.0 psi); " \
        "limited by east-urinal")
    if (28 - short < 15) # what the valves in place ask
        refuse("the old valves are short")
}

# ---- What new pipe gains ----

# A row; only its first line where the place is long.  Psi for a foot, or kPa
# for a meter.
function gained(way, where, label, feet, peak, together,  each) {
    each = si ? 6.894757 / 0.3048 : 1
    out("row", way " " where " " label " " long_as(feet) " " psi(peak) " " \
        show(peak / feet * each, 3) " " psi(together) " " \
        show(together / feet * each, 3))
}

# Two of the eastern urinals, whose valves draw 12 gpm at 25 psi, behind the
# reducer, on pipes of the sizes j and k, or on one of their length, its
# fittings 20 to 75 % of it: half of both.
function together_cured(j, k, second,  low, high, p, gpm, left, i) {
    low = 0; high = 43
    for (i = 0; i < 100; i++) {
        p = (low + high) / 2
        gpm = 2 * drawn(p, 12, 25)
        left = 43 - 6 * gpm / 60 - weight * (14 + 6 + 2)
        left -= second ? loss(gpm, c, bore_of[j], 75 * 1.475) \
            : loss(gpm, c, bore_of[j], 40 + fittings_at(1, j)) \
            + loss(gpm, c, bore_of[k], 35 + fittings_at(3, k))
        if (left > p)
            low = p
        else
            high = p
    }
    return p
}

function cured_gains(  j, k, now) {
    j = in_place[1]; k = in_place[3]
    now = together_cured(j, k, 0)
    gained("larger", "east", label_of[k + 1], 35, \
        takes[1, 3, k] - takes[1, 3, k + 1], together_cured(j, k + 1, 0) - now)
    gained("larger", "riser", label_of[j + 1], 40, \
        takes[1, 1, j] - takes[1, 1, j + 1], together_cured(j + 1, k, 0) - now)
    # at peak with the most that its fittings may be
    gained("second pipe", "beside riser and", label_of[j], 75, \
        takes[1, 1, j] + takes[1, 3, k] - loss(31, c, bore_of[j], 75 * 1.75), \
        together_cured(j, k, 1) - now)
}

function remedies_cured(  short, west, steps) {
    cured_site()
    short = -spare(1, 2); west = spare(1, 1)
    if (short < 0 || west < 0)
        refuse("east must be short, and west not")
    steps = cured_pressure(short)
    out("text", "(now " psi(8) " psi at peak)") # of the preventer, as typed
    cured_floors(short, west); cured_window(short)
    nothing_replaced(); cured_gains()
    cured_pipes("1. Replace ")
    given[1] = behind_reducer(43 + int(steps / 2) / 10)
    cured_pipes("of prv by " show(int(steps / 2) / 10, 1) \
        " psi (now 43.0 psi, then " show(43 + int(steps / 2) / 10, 1) \
        " psi), and replace ")
    cured_json(short, steps)
}

function cured_json(short, steps) {
    suffix = "remedy.json"
    out("json", "pressure " show(43 + steps / 10, 1))
    out("json", "pressure_now 43.0")
    out("json", "head " show(steps_up(short / weight) / 10, 1))
    out("json", "pressure " down(28 - short))
    out("json", "pressure_now 8.00")
    out("json", "minimum_at_most " show(28 - short, 2))
    out("json", "set_at_least " show(43 + short, 2))
    out("json", "set_at_most " show(60 + weight * 16, 2))
    out("json", "friction_loss " show(takes[1, 3, size[3]], 2))
    out("json", "cost " priced(best_cost))
}

# The closet alone, whose valve draws 25 gpm at 40 psi, on a larger riser.
function ceiling_gains(  k, now) {
    k = in_place[1]
    set_ceiling(); now = settle(1, 25, 40)
    bore = bore_of[k + 1]; long = 50 + fittings_at(1, k + 1)
    gained("larger", "riser", label_of[k + 1], 50, \
        takes[1, 1, k] - takes[1, 1, k + 1], settle(1, 25, 40) - now)
    set_ceiling()
}

# The building of cured_site() with prices: 120 for a PRV set anew, 12000 for a
# booster, 240 for each of the three valves that are short; of pipe 60 each, and 17.20 a foot of
# 1-1/2 in and 25 of 2 in, of which one is 40 ft long and one 35.
function remedies_bought(  riser, east, small) {
    name = "bought"; suffix = "remedy.txt"
    riser = 60 + 40 * 25; east = 60 + 35 * 25; small = 60 + 35 * 17.20
    out("text", "Lowest price of those with a price: option 3, " show(120, 2) \
        "; no price for keep valve, so another may cost less.")
    out("text", "east (1-1/4 in to 2 in). Cost of pipe: " \
        show(riser + east, 2) " by the prices.")
    out("text", "east-urinal governs. Price: " show(120, 2) ".")
    out("text", "east-urinal governs. Price: " show(12000, 2) ".")
    out("text", "limited by east-urinal. Price: " show(3 * 240, 2) ".")
    out("text", "Cost of pipe: " show(riser + small, 2) \
        " by the prices. Price: " show(riser + small + 120, 2) ".")
}

# Beside a closet of three, weak with more than two open: each other one is on
# for so little that both are with it far less than 1 % of the time, and one of
# them far more.  So two open must have 40 psi.
function remedies_ceiling(  by, on) {
    name = "ceiling"; suffix = "remedy.full.txt"
    nothing_yet(); sizes_of_copper_l()
    c = 140; fastest = 8; states = 1
    a_pipe("riser", 0, 50, 30, 0, 0, 0, 1, 1); flows(1, 42)
    a_fixture("wc", 1, 0, 40)
    given[1] = sag(52, 44, 200, 42)
    cheapest(); spares()
    out("text", "Even with the lowest-loss sizes wc is short by " \
        psi(-least_spare[1]) " psi at peak after retrofit. The source " \
        "gives " psi(given[1]) " psi; those sizes require " \
        psi(least_source[1]) " psi.")
    left_in_place(1, "2 in"); spares()
    out("row", "30.0 wc " down(40 + least_spare[1]) " 40.0 35.0")
    ceiling_gains()
    on = 1.28 / 25 / 5
    if (chance_of(1, 2, on) < 0.015 || chance_of(2, 2, on) > 0.005)
        refuse("the chances are not so plain")
    do {
        by++
        set_ceiling(); from += by / 10; residual += by / 10
    } while (settle(2, 25, 40) < 40)
    if (pipe_end(42) < 40)
        refuse("it must be the events that ask so much")
    out("text", "Not in your hands: the utility would have to raise the " \
        "static pressure (and the residual by as much) of main by " show(by / 10, 1) " psi (now 52.0 psi, then " \
        show(from, 1) " psi); the flush events govern.")
}

function remedies_works(  left) {
    name = "works"; suffix = "remedy.full.txt"
    set_works(); left = pipe_end(27) - up
    out("row", "10.5 wc " down(left) " 25.0 35.0")
    out("text", "WORKS after retrofit")
    out("text", "Nothing to fix.")
}

# A tank whose valves bear no more than 170 kPa with no flow, and whose code
# asks 25 psi flowing: water or a pump lifts them over both.
function uncured_gains(metre,  now, feet) {
    feet = 14 * metre
    from = given[1]; tested = 0; rise = 2 * metre * weight; up = 0
    bore = (54 - 2.4) / 25.4; long = feet + 2 * 5.5
    now = settle(1, 0.75 / 0.0630902, 175 / 6.894757)
    bore = (66.7 - 2.4) / 25.4; long = feet + 2 * 7
    gained("larger", "drop", "66.7 mm", feet, \
        takes[1, 1, 1] - loss(27, c, bore, long), \
        settle(1, 0.75 / 0.0630902, 175 / 6.894757) - now)
}

function remedies_uncured(  metre, short, head, most) {
    metre = 1 / 0.3048; most = 170 / 6.894757
    name = "uncured"; suffix = "remedy.full.txt"; nothing_yet(); n_sizes = 0
    metric(54, 1.2, 5.5, 9, 0.5); metric(159, 2.0, 19, 34, 2)
    c = 140; fastest = 2 * metre; states = 1
    a_pipe("drop", 0, 14 * metre, 2 * metre, 2, 0, 0, 0, 0); flows(1, 27)
    a_fixture("urinal", 1, 0, 25); given[1] = 17 * metre * weight
    cheapest(); spares()
    out("text", "Even with the lowest-loss sizes urinal is short by " \
        psi(-least_spare[1]) " kPa at peak. The source gives " \
        psi(given[1]) " kPa; those sizes require " \
        psi(least_source[1]) " kPa.")
    left_in_place(1, "54 mm"); short = -spares()
    out("row", "2.00 urinal " floor_of((25 - short) * 6.894757) " 150 " \
        psi(25))
    uncured_gains(metre)
    head = ceiling_of(short / weight / metre * 10) / 10
    out("text", "Raise the water level of tank by " show(head, 2) \
        " m (now 17.00 m, then " show(17 + head, 2) " m); every fixture then " \
        "has enough at peak, but urinal: " \
        psi((17 + head - 2) * metre * weight) " kPa static, limit " \
        psi(most) " kPa")
    out("text", "Install a booster downstream of tank with " show(head, 2) \
        " m of head at " show(ceiling_of(27 * 0.0630902 * 100) / 100, 2) \
        " L/s. Its shutoff head is a fifth more " \
        "(common practice), " show(1.2 * head, 2) " m, putting urinal at " \
        psi((17 + 1.2 * head - 2) * metre * weight) " kPa static; every")
    if ((17 + head - 2) * metre * weight <= most)
        refuse("the valves would bear it")
}

function remedies() {
    si = 0; unit = "psi"
    remedies_cured(); remedies_bought(); remedies_ceiling()
    remedies_works()
    si = 1; unit = "kPa"
    remedies_uncured()
}
