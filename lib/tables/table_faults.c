/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_faults.c -- what is usual of the faults that explain gauge
 * readings: how often they are met, and how large they are.
 */
#include "tables/table_entries.h"

#include <math.h>

const char *const fci_fault_names[] = {
    [FC_SUPPLY_PRESSURE] = "supply pressure",
    [FC_SUPPLY_SAG] = "supply sag",
    [FC_REDUCER_SETTING] = "reducer setting",
    [FC_PIPE_ROUGHNESS] = "pipe roughness",
    [FC_BLOCKED] = "blocked",
    [FC_SMALLER_SIZE] = "smaller size",
    [FC_LARGER_SIZE] = "larger size",
    [FC_HEIGHT] = "height",
    [FC_STOP_THROTTLED] = "stop throttled",
    [FC_VALVE_RATE] = "valve rate",
    [FC_RUNNING_OUTLET] = "running outlet",
    [FC_PUMP_OFF] = "pump off",
    [FC_PUMP_WEAK] = "pump weak",
    [FC_HOLDS_BACK] = "holds back",
    [FC_LOSES_LESS] = "loses less",
    [FC_GAUGE_OFF] = "gauge off",
    [FC_CHANGED] = "changed",
    [FC_WRONG_READING] = "wrong reading",
    [FC_VALVE_VOLUME] = "valve volume",
    [FC_PRV_NOT_LISTED] = "prv not listed",
    [FCI_FAULTS] = NULL,
};

/* ---- The keys --------------------------------------------------------- */

#define FIGURE(key, dimension, member)                                        \
    FCI_FIGURE_FIELD(key, dimension, FCI_POSITIVE, struct fci_usual_fault,    \
                     member, true)
#define RANGE(k, d, m, f)                                                     \
    {                                                                         \
        FCI_FIELD(k, &fci_range_field, d, m, struct fci_usual_fault, f),      \
            .required = true                                                  \
    }
#define PRIOR FCI_COMMON_FIELDS, FIGURE("prior", FC_NUMBER, prior)
#define PIPE_PRIOR FIGURE("pipe prior", FC_NUMBER, pipe_prior)
#define LOSS                                                                  \
    PRIOR, FIGURE("scale", FC_PRESSURE, scale),                               \
        FIGURE("most", FC_PRESSURE, range)

static const struct fci_field prior[] = { PRIOR };
static const struct fci_field off_by[] = {
    PRIOR,
    FIGURE("scale", FC_PRESSURE, scale),
    RANGE("range", FC_PRESSURE, FCI_ANY, range),
};
static const struct fci_field loss[] = { LOSS };
static const struct fci_field pipe_loss[] = { LOSS, PIPE_PRIOR };
static const struct fci_field stop[] = {
    LOSS,
    FIGURE("shut above", FC_PRESSURE, shut),
};
static const struct fci_field setting[] = {
    PRIOR,
    FIGURE("scale", FC_PRESSURE, scale),
    RANGE("range", FC_PRESSURE, FCI_POSITIVE, range),
};
static const struct fci_field outlet[] = {
    PRIOR,
    FIGURE("scale", FC_FLOW, scale),
    FIGURE("most", FC_FLOW, range),
};
static const struct fci_field share[] = {
    PRIOR,
    RANGE("range", FC_NUMBER, FCI_POSITIVE, range),
};
static const struct fci_field roughness[] = {
    PRIOR,
    FIGURE("run prior", FC_NUMBER, run_prior),
    PIPE_PRIOR,
    RANGE("range", FC_NUMBER, FCI_POSITIVE, range),
};
static const struct fci_field height[] = {
    PRIOR,
    FIGURE("scale", FC_LENGTH, scale),
    RANGE("range", FC_LENGTH, FCI_ANY, range),
    RANGE("inlet range", FC_LENGTH, FCI_ANY, inlet),
};
static const struct fci_field misread[] = {
    PRIOR,
    FIGURE("scale", FC_NUMBER, scale),
};

/* ---- The kinds of fault ----------------------------------------------- */

#define KEYS(list) .keys = (list), .n = FCI_COUNT_OF(list)

static const struct {
    const struct fci_field *keys;
    size_t n;
    double sound; /* lies in the range: nothing is amiss; NAN: no such value */
} faults[FCI_FAULTS] = {
    [FC_SUPPLY_PRESSURE] = { KEYS(off_by) },
    [FC_SUPPLY_SAG] = { KEYS(loss) },
    [FC_REDUCER_SETTING] = { KEYS(off_by) },
    [FC_PIPE_ROUGHNESS] = { KEYS(roughness), .sound = (double)NAN },
    [FC_BLOCKED] = { KEYS(pipe_loss) },
    [FC_SMALLER_SIZE] = { KEYS(prior) },
    [FC_LARGER_SIZE] = { KEYS(prior) },
    [FC_HEIGHT] = { KEYS(height) },
    [FC_STOP_THROTTLED] = { KEYS(stop) },
    [FC_VALVE_RATE] = { KEYS(share), .sound = 1 },
    [FC_RUNNING_OUTLET] = { KEYS(outlet) },
    [FC_PUMP_OFF] = { KEYS(prior) },
    [FC_PUMP_WEAK] = { KEYS(loss) },
    [FC_HOLDS_BACK] = { KEYS(pipe_loss) },
    [FC_LOSES_LESS] = { KEYS(share), .sound = 1 },
    [FC_GAUGE_OFF] = { KEYS(off_by) },
    [FC_CHANGED] = { KEYS(misread) },
    [FC_WRONG_READING] = { KEYS(misread) },
    [FC_VALVE_VOLUME] = { KEYS(share), .sound = 1 },
    [FC_PRV_NOT_LISTED] = { KEYS(setting), .sound = (double)NAN },
};

/* From a low end to a high one, with what is sound between them. */
static void
check_range(struct fci_table_reader *r, const char *key, fc_range range,
            double sound)
{
    const struct fci_entry *entry = fci_section_entry(&r->part->section, key);

    if (!entry || !range.given)
        return;
    if (!(range.low < range.high))
        fci_table_wrong_value(r, entry,
                              "a range from a low end to a higher one");
    else if (range.low > sound || range.high < sound)
        fci_table_wrong_value(
            r, entry,
            sound > 0 ? "a range around 1, where nothing is wrong,"
                      : "a range around 0, where nothing is wrong,");
}

void
fci_table_read_fault(struct fci_table_reader *r, void *entry)
{
    struct fci_usual_fault *usual = entry;
    size_t kind = 0;

    while (!fci_same_name(fci_fault_names[kind], usual->head.name))
        kind++;
    fci_table_fields(r, faults[kind].keys, faults[kind].n, NULL, usual);
    check_range(r, "range", usual->range, faults[kind].sound);
    check_range(r, "inlet range", usual->inlet, faults[kind].sound);
}
