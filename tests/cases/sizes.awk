# SPDX-License-Identifier: GPL-3.0-or-later
# tests/cases/sizes.awk -- the figures of sizes at least cost, worked out apart
# from the program; read behind figures.awk and events.awk, whose units,
# sources and functions it shares.
#
# Sizes at least cost are found by trying every combination of sizes, and each
# case refuses itself where two of them cost the same.  Sizes by hand: the
# least, over all runs, of the pressure to spare over the developed length,
# first without fittings and then anew with those of the sizes found until it
# falls no more (IPC Appendix E, permissible friction loss of the segments).
#
# Typed from the published tables, beside those of figures.awk:
#   copper L    ASTM B88, Table 1, outside diameter and wall
#   EN 1057     outside diameter and wall, common UK choices
#   fittings    IPC Appendix E, soldered copper (from memory), as equivalent
#               feet; a gate valve has none under 2 in; a metric size takes
#               the row of the inch size with the nearest bore (common
#               practice)
#   units       UPC 2018 Table A 103.1: closet 5, above 1.6 gal 8 (from
#               memory); IPC Table E103.3(2): closet 10, urinal 5 (from memory)
#   demand      UPC Chart A 103.1 (from memory): 10, 16, 25, 40 units are 27,
#               31.8, 38, 46.5 gpm; IPC Table E103.3(3), valves: 10, 15, 20,
#               25, 30 units are 27, 31, 35, 38, 42 gpm

# ---- Sizes ------------------------------------------------------------

function a_size(label, inches, outside, wall, elbow, branch, run, gate) {
    n_sizes++
    label_of[n_sizes] = label
    nominal[n_sizes] = inches
    bore_of[n_sizes] = outside - 2 * wall
    elbow_of[n_sizes] = elbow; branch_of[n_sizes] = branch
    run_of[n_sizes] = run; gate_of[n_sizes] = gate
}

function sizes_of_copper_l() {
    n_sizes = 0
    a_size("3/4 in", 0.75, 0.875, 0.045, 2, 3, 0, 0)
    a_size("1 in", 1, 1.125, 0.050, 2.5, 4.5, 0, 0)
    a_size("1-1/4 in", 1.25, 1.375, 0.055, 3, 5.5, 0.5, 0)
    a_size("1-1/2 in", 1.5, 1.625, 0.060, 4, 7, 0.5, 0)
    a_size("2 in", 2, 2.125, 0.070, 5.5, 9, 0.5, 0.5)
    a_size("2-1/2 in", 2.5, 2.625, 0.080, 7, 12, 0.5, 1)
    a_size("3 in", 3, 3.125, 0.090, 9, 15, 1, 1.5)
    a_size("3-1/2 in", 3.5, 3.625, 0.100, 9, 14, 1, 2)
    a_size("4 in", 4, 4.125, 0.114, 12.5, 21, 1, 2)
    a_size("5 in", 5, 5.125, 0.125, 16, 27, 1.5, 3)
    a_size("6 in", 6, 6.125, 0.140, 19, 34, 2, 3.5)
}

# Only those that have a price; a size is known by its outside diameter.
function metric(outside, wall, elbow, branch, run, each) {
    a_size(outside " mm", outside / 25.4, outside / 25.4, wall / 25.4, \
        elbow, branch, run, 0)
    price[n_sizes] = each
}

function sizes_of_en_1057() {
    n_sizes = 0
    metric(22, 0.9, 2, 3, 0, 21)
    metric(28, 0.9, 2.5, 4.5, 0, 28)
    metric(35, 1.2, 3, 5.5, 0.5, 39)
    metric(54, 1.2, 5.5, 9, 0.5, 68)
    metric(66.7, 1.2, 7, 12, 0.5, 95)
}

# ---- A tree of pipes --------------------------------------------------

function a_pipe(title, parent, feet, climbs, elbows, branches, runs, gates,
        least) {
    n_pipes++
    title_of[n_pipes] = title; parent_of[n_pipes] = parent
    feet_of[n_pipes] = feet; climb_of[n_pipes] = climbs
    elbows_of[n_pipes] = elbows; branches_of[n_pipes] = branches
    runs_of[n_pipes] = runs; gates_of[n_pipes] = gates
    least_of[n_pipes] = least # supply of a fixture on it, inches
    in_place[n_pipes] = 0
    height_of[n_pipes] = climbs + (parent ? height_of[parent] : 0)
}

function a_fixture(title, pipe, up, old, new) {
    n_fixtures++
    fixture_of[n_fixtures] = title; hangs_on[n_fixtures] = pipe
    above_of[n_fixtures] = up
    asks[n_fixtures, 1] = old; asks[n_fixtures, 2] = new
}

# Of a pipe in the two states.
function flows(pipe, old, new) {
    peak_of[pipe, 1] = old; peak_of[pipe, 2] = new
}

function fittings_at(i, k) {
    return elbows_of[i] * elbow_of[k] + branches_of[i] * branch_of[k] \
        + runs_of[i] * run_of[k] + gates_of[i] * gate_of[k]
}

function friction_at(s, i, k) {
    return loss(peak_of[i, s], c, bore_of[k], feet_of[i] + fittings_at(i, k))
}

function may_be(i, k,  s) {
    for (s = 1; s <= states; s++)
        if (speed(peak_of[i, s], bore_of[k]) > fastest)
            return 0
    return nominal[k] >= least_of[i] - 1e-9
}

# By prices as far as there are any; a pipe left in place costs nothing.
function cost_of(i, k) {
    if (k == in_place[i])
        return 0
    return by_prices ? price[k] * feet_of[i] * 0.3048 + each \
        : nominal[k] * feet_of[i]
}

# All that is known of each pipe at each size.
function prepare(  i, k, s) {
    for (i = 1; i <= n_pipes; i++)
        for (k = 1; k <= n_sizes; k++) {
            allowed[i, k] = k == in_place[i] || may_be(i, k)
            for (s = 1; s <= states; s++)
                takes[s, i, k] = friction_at(s, i, k)
        }
}

# What fixture f has to spare in state s with the sizes in `size`.
function spare(s, f,  i, p) {
    p = given[s] - weight * (height_of[hangs_on[f]] + above_of[f])
    for (i = hangs_on[f]; i; i = parent_of[i])
        p -= takes[s, i, size[i]]
    return p - asks[f, s]
}

# The least of all; leaves least_spare[s] and shortest[s].
function spares(  s, f, p, all) {
    all = 1e9
    for (s = 1; s <= states; s++) {
        least_spare[s] = 1e9
        for (f = 1; f <= n_fixtures; f++) {
            p = spare(s, f)
            if (p < least_spare[s]) {
                least_spare[s] = p
                shortest[s] = fixture_of[f]
            }
        }
        if (least_spare[s] < all)
            all = least_spare[s]
    }
    return all
}

function whole_cost(  i, cost) {
    for (i = 1; i <= n_pipes; i++)
        cost += cost_of(i, size[i])
    return cost
}

# One combination of sizes.
function weigh(  i, cost, all, s) {
    all = spares(); cost = whole_cost()
    for (s = 1; s <= states; s++)
        if (given[s] - least_spare[s] < least_source[s])
            least_source[s] = given[s] - least_spare[s]
    if (all < 0 || cost > best_cost + 1e-9)
        return
    ties = cost < best_cost - 1e-9 ? 0 : ties + 1
    best_cost = cost
    for (i = 1; i <= n_pipes; i++)
        best[i] = size[i]
}

# Pipe i and all behind it in the list at every size; none that is put in is
# larger than the one that feeds it.
function try_from(i,  k) {
    if (i > n_pipes) {
        weigh()
        return
    }
    for (k = 1; k <= n_sizes; k++) {
        if (!allowed[i, k] || (k != in_place[i] && parent_of[i] \
                && nominal[k] > nominal[size[parent_of[i]]]))
            continue
        size[i] = k
        try_from(i + 1)
    }
}

# Into best[] and best_cost, and what the source must have at least.
function cheapest(  i, s) {
    best_cost = 1e9; ties = 0
    for (s = 1; s <= states; s++)
        least_source[s] = 1e9
    prepare()
    try_from(1)
    if (ties)
        refuse("two choices of sizes cost the same")
    for (i = 1; i <= n_pipes; i++)
        size[i] = best_cost < 1e9 ? best[i] : n_sizes
}

function refuse(why) {
    print name ": " why >"/dev/stderr"
    bad = 1
}

# ---- By hand ----------------------------------------------------------

# Over runs and states; with `sized` fittings count at the sizes in hand[].
function permissible(sized,  s, f, i, feet, p) {
    rate = 1e9
    for (s = 1; s <= states; s++)
        for (f = 1; f <= n_fixtures; f++) {
            p = given[s] - asks[f, s] \
                - weight * (height_of[hangs_on[f]] + above_of[f])
            feet = 0
            for (i = hangs_on[f]; i; i = parent_of[i])
                feet += feet_of[i] + (sized ? fittings_at(i, hand[i]) : 0)
            if (p / feet < rate) {
                rate = p / feet; run_spare = p; run_feet = feet
                run_to = fixture_of[f]; run_state = s
            }
        }
    return rate
}

function fits_by_hand(i, k,  s) {
    for (s = 1; s <= states; s++)
        if (takes[s, i, k] > rate * (feet_of[i] + fittings_at(i, k)))
            return 0
    return allowed[i, k]
}

# Pipes stand behind those that feed them, so the last comes first.
function size_by_hand(  i, k, behind) {
    for (i = n_pipes; i >= 1; i--) {
        for (k = 1; k <= n_sizes; k++)
            if (nominal[k] >= behind[i] && fits_by_hand(i, k))
                break
        if (k > n_sizes)
            refuse("no size by hand")
        hand[i] = k
        if (nominal[k] > behind[parent_of[i]])
            behind[parent_of[i]] = nominal[k]
    }
}

function by_hand(  before, f, p, feet, s) {
    permissible(0)
    do {
        size_by_hand()
        before = rate; p = run_spare; feet = run_feet; f = run_to
        s = run_state
    } while (permissible(1) < before)
    # the run whose rate was used
    rate = before; run_spare = p; run_feet = feet; run_to = f; run_state = s
}

# ---- In print ---------------------------------------------------------

# Money has two decimals, inch-feet one.
function priced(x) { return show(x, by_prices ? 2 : 1) }
function long_as(x) { return si ? show(x * 0.3048, 2) : show(x, 1) }
function quick(gpm, bore) {
    return show(speed(gpm, bore) * (si ? 0.3048 : 1), si ? 2 : 1)
}

function busier(i) {
    return states == 2 && peak_of[i, 2] > peak_of[i, 1] ? 2 : 1
}

# Of one screen, without the sizes by hand.
function briefly(text) {
    suffix = "size.txt"; out("row", text); suffix = "size.full.txt"
}

function size_rows(  i, s, k, h, sum, row) {
    for (i = 1; i <= n_pipes; i++) {
        s = busier(i); k = size[i]; h = hand[i]
        row = title_of[i] " " long_as(feet_of[i]) " " \
            flow(peak_of[i, s]) " " label_of[k] " " \
            quick(peak_of[i, s], bore_of[k]) " " psi(takes[s, i, k]) " " \
            priced(cost_of(i, k))
        briefly(row)
        out("row", row " " (h ? label_of[h] " " \
            priced(cost_of(i, h)) : "- -"))
        if (h)
            sum += cost_of(i, h)
    }
    return sum
}

function total_rows(own, by) {
    briefly("total " priced(own))
    out("row", "total " priced(own) " " priced(by))
}

function cost_words(x) {
    return priced(x) (by_prices ? " by the prices given" : " inch-feet")
}

function state_words(s) {
    return s == 2 ? "after retrofit" : "existing"
}

function source_words(  s) {
    for (s = 1; s <= states; s++)
        out("text", (states == 1 ? "" : s == 2 ? "After retrofit: " \
            : "Existing: ") psi(given[s]) " " unit " at a peak of " \
            flow(peak_of[1, s]) " " (si ? "L/s" : "gpm") "; with the " \
            "sizes that lose least " psi(least_source[s]) " " unit \
            " is enough.")
}

function run_words(  s) {
    s = states == 2 ? ", " state_words(run_state) : ""
    out("text", "The run to " run_to s " governs: " psi(run_spare) " " unit \
        " to spare for friction over a developed length of " \
        long_as(run_feet) " " (si ? "m" : "ft") \
        ", of the pipes to be sized on it, allows " \
        (si ? show(rate * 6.894757 / 0.3048, 2) " kPa per m" \
        : show(100 * rate, 1) " psi per 100 ft") ".")
}

# A report on sizes that were found.
function report_sizes(  by, i, s) {
    suffix = "size.full.txt"
    cheapest(); by_hand()
    if (best_cost == 1e9)
        refuse("no sizes were found")
    by = size_rows()
    total_rows(best_cost, by)
    out("text", "WORKS with the sizes found for " n_pipes " pipes: " \
        cost_words(best_cost) ", the lowest cost.")
    run_words()
    out("text", "By hand (uniform friction loss): " cost_words(by) ", " \
        show(100 * (by / best_cost - 1), 0) "% more than the lowest cost " \
        "that serves at peak.")
    source_words()
    spares(); s = states
    out("text", states == 1 ? "WORKS: all" : "WORKS " state_words(s))
    out("text", "least margin " psi(least_spare[s]) " " unit ", at " \
        shortest[s] ".")
    for (i = 1; i <= n_pipes; i++) # the hand's serve as well
        size[i] = hand[i]
    if (spares() < 0)
        refuse("the sizes by hand do not serve")
}

# A report on a building that no sizes serve: the largest of all are shown.
function report_none(  s) {
    suffix = "size.full.txt"
    cheapest(); permissible(0)
    if (best_cost < 1e9 || rate >= 0)
        refuse("sizes were found")
    size_rows(); source_words()
    s = states; spares()
    out("text", "Even with the lowest-loss sizes " shortest[s] \
        " is short by " psi(-least_spare[s]) " psi at peak. The source " \
        "gives " psi(given[s]) " psi; those sizes require " \
        psi(least_source[s]) " psi.")
}

# ---- The sites to be sized --------------------------------------------

function nothing_yet() {
    n_pipes = n_fixtures = 0; by_prices = 0; split("", hand)
}

function tree_of_chosen() {
    nothing_yet(); sizes_of_copper_l()
    c = 140; fastest = 10; states = 2
    a_pipe("service", 0, 70, -3, 2, 0, 0, 1, 0); flows(1, 46.5, 38)
    a_pipe("riser", 1, 30, 12, 1, 0, 0, 0, 0); flows(2, 38, 31.8)
    a_pipe("lower", 1, 44, 0, 2, 1, 0, 0, 1); flows(3, 31.8, 27)
    a_pipe("upper", 2, 24, 3, 2, 0, 0, 0, 1); flows(4, 38, 31.8)
    a_fixture("low-wc", 3, 2, 25, 38); a_fixture("high-wc", 4, 2, 25, 28)
    given[1] = sag(46, 38, 120, 46.5); given[2] = sag(46, 38, 120, 38)
}

# That both states count is seen from either asking for less without the other.
function sizes_chosen(  both) {
    name = "chosen"
    tree_of_chosen(); report_sizes()
    both = best_cost; states = 1
    cheapest()
    if (best_cost >= both)
        refuse("the state to be asks for nothing of its own")
    flows(1, 38); flows(2, 31.8); flows(3, 27); flows(4, 31.8)
    asks[1, 1] = 38; asks[2, 1] = 28; given[1] = given[2]
    cheapest()
    if (best_cost >= both)
        refuse("the state as it stands asks for nothing of its own")
    tree_of_chosen(); cheapest(); sizes_json()
}

function sizes_json(  i) {
    by_hand(); suffix = "size.json"
    for (i = 1; i <= n_pipes; i++) {
        out("json", "friction_loss " show(takes[1, i, size[i]], 2))
        out("json", "velocity " show(speed(peak_of[i, 1], bore_of[size[i]]), \
            2))
        out("json", "cost " priced(cost_of(i, size[i])))
        out("json", "uniform_cost " priced(cost_of(i, hand[i])))
    }
    out("json", "cost " priced(best_cost))
    out("json", "lowest_cost " priced(best_cost))
    out("json", "cost_at_peak " priced(best_cost))
    out("json", "spare_pressure " show(run_spare, 2))
    out("json", "developed_length " show(run_feet, 1))
    out("json", "friction_rate " show(rate, 4))
    for (i = 1; i <= 2; i++) {
        out("json", "flowing_pressure " show(given[i], 2))
        out("json", "least_pressure " show(least_source[i], 2))
    }
}

function sizes_priced(  metre) {
    metre = 1 / 0.3048
    name = "priced"; nothing_yet(); sizes_of_en_1057()
    by_prices = 1; each = 60
    c = 140; fastest = 3 * metre; states = 1
    a_pipe("main", 0, 26 * metre, 4 * metre, 3, 0, 0, 0, 0); flows(1, 42)
    a_pipe("east", 1, 15 * metre, -1.5 * metre, 2, 1, 0, 0, 28 / 25.4)
    a_pipe("west", 1, 9 * metre, -1 * metre, 1, 0, 1, 0, 22 / 25.4)
    flows(2, 35); flows(3, 27)
    a_fixture("closets", 2, 0.3 * metre, 35)
    a_fixture("urinals", 3, 0.2 * metre, 25)
    given[1] = 345 / 6.894757
    report_sizes()
}

function sizes_unsized() {
    name = "unsized"; nothing_yet(); sizes_of_copper_l()
    c = 140; fastest = 8; states = 1
    a_pipe("riser", 0, 60, 42, 2, 0, 0, 0, 0); flows(1, 35)
    a_pipe("branch", 1, 20, 0, 0, 1, 0, 0, 1); flows(2, 35)
    a_fixture("wc", 2, 2, 35)
    given[1] = sag(54, 46, 100, 35)
    report_none()
}

# ---- Sizes for the flush events ---------------------------------------

# Of four closets at the far end and one near by, each is on with the chance
# `on`.  Two of the far ones on at once are weak with far more than 1 % of the
# flushes, and so is the near one with one far one on; three at once are with
# far less.  So sizes do if those two pairs have 30 psi.
function pairs_do() {
    return far_end(2, 0) >= 30 && near_end() >= 30
}

function service_end(gpm) {
    return 48 - 6 * weight - loss(gpm, 140, bore_of[size[1]], 60)
}

# At n far closets, the flow of the near one being `beside`.
function far_end(n, beside,  low, high, p, i, gpm) {
    low = -1000; high = 48
    for (i = 0; i < 60; i++) {
        p = (low + high) / 2
        gpm = n * drawn(p, 25, 30)
        if (service_end(gpm + beside) - 4 * weight - loss(gpm, 140, \
                bore_of[size[3]], 44 + fittings_at(3, size[3])) > p)
            low = p
        else
            high = p
    }
    return p
}

# At the near closet, one of the far ones open.
function near_end(  low, high, p, i, near, far) {
    low = -1000; high = 48
    for (i = 0; i < 60; i++) {
        p = (low + high) / 2
        near = drawn(p, 25, 30); far = drawn(far_end(1, near), 25, 30)
        if (service_end(near + far) - 2 * weight - loss(near, 140, \
                bore_of[size[2]], 12 + fittings_at(2, size[2])) > p)
            low = p
        else
            high = p
    }
    return p
}

# In hand goes by half a psi; the first that does.
function sizes_weak(  on, by, at_peak, i) {
    name = "weak"; suffix = "size.full.txt"; nothing_yet(); sizes_of_copper_l()
    c = 140; fastest = 10; states = 1
    a_pipe("service", 0, 60, 6, 0, 0, 0, 0, 0); flows(1, 38)
    a_pipe("near", 1, 12, 0, 0, 1, 0, 0, 1); flows(2, 27)
    a_pipe("far", 1, 44, 2, 2, 0, 0, 0, 1); flows(3, 35)
    a_fixture("near-wc", 2, 2, 30); a_fixture("far-wc", 3, 2, 30)
    given[1] = 48; on = 1.28 / 25 / 10
    if (chance_of(1, 3, on) < 0.012 || chance_of(2, 4, on) > 0.005)
        refuse("the chances are not so plain")
    cheapest(); by_hand(); at_peak = best_cost
    while (!pairs_do()) {
        by++
        asks[1, 1] += 0.5; asks[2, 1] += 0.5
        cheapest()
        if (best_cost == 1e9)
            refuse("no sizes do")
    }
    i = size_rows()
    total_rows(best_cost, i)
    run_words()
    out("text", "WORKS with the sizes found for 3 pipes: " \
        cost_words(best_cost) ". For peak demand alone " \
        cost_words(at_peak) " is enough, but then flushes fall short; " \
        show(by / 2, 1) " psi more at far-wc fixes that. No pipe may be a " \
        "size smaller;")
}

function sizes() {
    si = 0; unit = "psi"
    sizes_chosen(); sizes_unsized(); sizes_weak()
    si = 1; unit = "kPa"
    sizes_priced()
}
