# SPDX-License-Identifier: GPL-3.0-or-later
# tests/cases/sides.awk -- what `compare` and `check --sweep` must show of the
# sites whose reports figures.awk works out: the same sums, with another value.
# Its functions are figures.awk's, read before.

# What is left at the closet of works.ini.
function kiosk(supply, feet) {
    bore = 1.625 - 2 * 0.060
    return supply - 10.5 * weight - loss(27, 140, bore, feet + 3 * 4 + 7)
}

# What is left at the closets of ceiling.ini: the main by NFPA 291, with the drop
# of its test, whatever it has today.
function loft(static, gpm) {
    bore = 2.125 - 2 * 0.070
    return static - (52 - 44) * (gpm / 200) ^ (1 / 0.54) - 30 * weight \
        - loss(gpm, 140, bore, 50 + 0.5)
}

# What is left at the closets of static.ini, after the retrofit.
function depot() {
    bore = 2.125 - 2 * 0.070
    return 95 - 4 * weight - loss(31.8, 130, bore, 80 + 2 * 5.5 + 9)
}

function short_of(margin, n) { return (margin < 0 ? n : 0) " of " n }

# A range and a length that is no more than the rise, which is no pipe.
function compare_kiosk(  left, low) {
    name = "works"; suffix = "compare.txt"
    left = kiosk(60, 40) - 35; low = kiosk(41, 40) - 35
    if (low >= 0 || kiosk(43, 40) < 35)
        bad = 1
    out("row", "fixtures short 0 of 1 0 of 1 -")
    out("row", "fixtures not certain 0 of 1 1 of 1 -")
    out("row", "least margin, psi " signed(left) " " signed(low) " -")
    # one of 25 gpm at 35 psi, which the valve has; alone it may have less
    # than the code's 35 psi where the feed is a range
    out("row", "flush valves at once all 1 cannot tell -")
    out("row", "peak demand, gpm 27.0 27.0 -")
    out("row", "pipes over velocity limit 0 0 -")
    out("row", "fixtures too high 0 0 -")
    out("text", "rise is 10.0 ft, more than the 5.0 ft of the pipe's length")
    suffix = "compare.json"
    out("json", "margin " json_psi(left))
    out("json", "margin_low " json_psi(low))
    out("json", "margin_high " json_psi(kiosk(43, 40) - 35))
}

# Three sites; static.ini has more than its valve may have.
function compare_sites(  short, kept, high) {
    name = "ceiling"; suffix = "compare.txt"
    short = loft(52, 42) - 40; kept = kiosk(60, 40) - 35; high = depot() - 25
    if (95 - 4 * weight <= 80)
        bad = 1
    out("row", "existing works works works")
    out("row", "fixtures short " short_of(short, 3) " " short_of(kept, 1) " " \
        short_of(high, 3))
    out("row", "fixtures not certain 0 of 3 0 of 1 0 of 3")
    out("row", "least margin, psi " signed(short) " " signed(kept) " " \
        signed(high))
    # 39.0 psi static of 40; as in the reports of each
    out("row", "flush valves at once not even 1 all 1 all 3")
    out("row", "peak demand, gpm 42.0 27.0 31.8")
    out("row", "pipes over velocity limit 0 0 0")
    out("row", "fixtures too high 0 0 3")
}

function sweep_kiosk(  feet, left) {
    name = "works"; suffix = "sweep.txt"
    out("row", "5 ft not calculated not calculated - - - -")
    for (feet = 55; feet <= 205; feet += 50) {
        left = kiosk(60, feet) - 35
        suffix = "sweep.txt"
        out("row", feet " ft works works 0 of 1 " psi(left) " 1 wc")
        suffix = "sweep.json"
        out("json", "margin " json_psi(left))
    }
    suffix = "sweep.txt"
    # from the length that is the rise
    out("text", "works from 10 ft (cannot be calculated up to 9 ft)")
}

# At once: none where the static pressure is short of 40 psi; all where 40 psi
# is left by as much as the valves take at the static pressure, which is more
# than they do: 25 gpm at 40 psi, by the root.  Between, any number stands.
function at_once(static,  most) {
    if (static - 30 * weight < 40)
        return 0
    most = 3 * 25 * sqrt((static - 30 * weight) / 40)
    return loft(static, most) >= 40 ? 3 : "[0-3]"
}

function sweep_loft(  static, left, n) {
    name = "ceiling"
    for (static = 44; static <= 64; static += 5) {
        left = loft(static, 42); n = at_once(static)
        suffix = "sweep.txt"
        out(n ~ /^[0-9]$/ ? "row" : "like", static ".0 psi " \
            (left < 40 ? "does not work " : "works ") \
            (left < 35 ? "does not work " : "works ") short_of(left - 40, 3) \
            " " psi(left - 40) " " n " wc")
        suffix = "sweep.json"
        out("json", "margin " json_psi(left - 35))
        out("json", "margin " json_psi(left - 40))
    }
}

function sides() {
    compare_kiosk(); compare_sites(); sweep_kiosk(); sweep_loft()
}
