/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/tank_chance.h -- whether a tank runs out when more flush than
 * the mean. */
#ifndef FCI_EFFECTS_TANK_CHANCE_H
#define FCI_EFFECTS_TANK_CHANCE_H

/* A tank over a time in which flushes begin at random. */
struct fci_tank_run {
    double flushes; /* in the mean [1/s] */
    double volume;  /* of the largest [m3] */
    double fills;   /* what comes in less what is drawn steadily [m3/s] */
    double drawn;   /* all that is drawn in the mean [m3/s] */
    double time;    /* [s] */
    double water;   /* at the start [m3] */
    double between; /* more of it until nothing comes in again before it is
                       back at `water`; 0: it is full, and what is drawn is
                       made up for at once [m3] */
};

/* It runs out at some moment of that time with no more than this chance; 1:
 * nothing better is known. */
double fci_tank_runs_out(const struct fci_tank_run *run);

/* So many times as much water, and between, at the least, that the chance of
 * running out is no more than `chance`; INFINITY: there is no water. */
double fci_tank_times_more(const struct fci_tank_run *run, double chance);

#endif
