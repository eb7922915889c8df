/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/starter.h -- answers about a building become a site file. */
#ifndef FCI_STARTER_STARTER_H
#define FCI_STARTER_STARTER_H

#include "ini/ini.h"
#include "tables/tables.h"

#include <stdio.h>

#define FCI_MOST_STORIES 300 /* as of typical floors */
#define FCI_MOST_BATTERIES 9

/* In the order in which they are asked. */
enum fci_answer {
    FCI_ASK_TITLE,
    FCI_ASK_STORIES,
    FCI_ASK_FLOOR,
    FCI_ASK_BATTERIES,
    FCI_ASK_CLOSETS,
    FCI_ASK_URINALS,
    FCI_ASK_LAVATORIES,
    FCI_ASK_EXISTING,
    FCI_ASK_RETROFIT,
    FCI_ASK_MAIN,
    FCI_ASK_FLOW_TEST,
    FCI_ASK_TANK,
    FCI_ASK_PRESSURE,
    FCI_ASK_FIRST_FLOOR,
    FCI_ASK_METER,
    FCI_ASK_BACKFLOW,
    FCI_ASK_BOOSTER,
    FCI_ASK_PRV_ZONES,
    FCI_ASK_MATERIAL,
    FCI_ASK_SERVICE,
    FCI_ASK_RISER,
    FCI_ASK_BRANCH,
    FCI_ASK_CODE,
    FCI_ASK_UNITS,
    FCI_ANSWERS
};

/* "1..4: 60 psi". */
struct fci_zone {
    int first, last;
    const char *pressure; /* as it was written */
    fc_range value;       /* the same [Pa] */
};

/* Floors that one riser feeds by itself. */
struct fci_run {
    int first, last;
    bool boosted;
    const struct fci_zone *prv; /* NULL: none */
};

enum fci_preventer {
    FCI_PREVENTER_UNKNOWN,
    FCI_NO_PREVENTER,
    FCI_RP,
    FCI_DOUBLE_CHECK
};

/* What was answered.  Of what was not, a text is NULL, a number 0 and a range
 * not given. */
struct fci_answers {
    const char *text[FCI_ANSWERS]; /* as written; NULL: not answered */
    int stories, batteries;
    fc_code code;
    fc_unit_system units;
    fc_range floor, first_floor, closets, urinals, lavatories;
    fc_range main, tank, pressure, service, riser, branch;
    fc_point *flow_test;
    size_t n_flow_test;
    const char *title, *material_name, *meter, *backflow, *booster_text;
    const char *prv_text, *existing, *retrofit;
    const struct fci_material *material;
    const struct fci_meter_kind *meter_kind; /* NULL: none, or not known */
    bool no_meter, meter_kind_given;
    fc_range meter_size;
    enum fci_preventer preventer;
    struct fci_zone *booster; /* NULL: none */
    struct fci_zone *prvs;
    size_t n_prvs;
    /* by fc_state; NULL: not named */
    const struct fci_valve_class *closet[2], *urinal[2];
    struct fci_run *runs; /* from the lowest floor up; where `whole` */
    size_t n_runs;
};

/* Read them, with strings and lists from the arena; `whole`: they are all that
 * there is, so that what lacks or does not go together is said too. */
fc_status fci_answers_read(const char *const *given, size_t n, bool whole,
                           const struct fci_tables *tables,
                           struct fci_arena *arena, struct fci_answers *a,
                           fc_diagnostics *messages);

/* How many of a floor's fixtures are in battery k. */
int fci_share_of(fc_range fixtures, int batteries, int k);

/* What was found for the pipes of which no size is given. */
struct fci_starter_size {
    const struct fci_size *size, *next; /* next NULL: there is none larger */
    double flow, velocity;              /* in `size`, at peak */
    bool too_fast; /* the largest there is, and over its limit */
};

struct fci_starter_sizes {
    struct fci_starter_size service, riser, branch[FCI_MOST_BATTERIES];
    double boosted; /* peak flow of the booster [m3/s] */
};

/* The text of the site file; `sizes` NULL: every size that was not given is
 * yet to be chosen. */
fc_status fci_starter_write(const struct fci_answers *a,
                            const struct fci_tables *tables,
                            const struct fci_starter_sizes *sizes,
                            char **text);

/* The sizes of the pipes of a site that the above wrote without any. */
fc_status fci_starter_find_sizes(const fc_site *site,
                                 struct fci_starter_sizes *sizes,
                                 fc_diagnostics *messages);

#endif
