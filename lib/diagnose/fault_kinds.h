/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fault_kinds.h -- all there is to know of a kind of fault, one
 * row each: where it may be, what the building is with it, and its words.
 * How often it is met and how large stands in the tables, [fault]. */
#ifndef FCI_DIAGNOSE_FAULT_KINDS_H
#define FCI_DIAGNOSE_FAULT_KINDS_H

#include "diagnose/diagnose.h"
#include "diagnose/looks.h"
#include "diagnose/work.h"
#include "diagnose/words.h"
#include "units/units.h"

/* What the candidates are listed from. */
struct fci_listing {
    const struct fci_fault_kind *kind; /* that is being listed */
    const struct fci_usual_fault *usual;
    struct fci_faults *faults;
    const struct fci_readings *readings;
    const struct fci_fault_trial *trial;
    const struct fci_looks *looks;
    const double *flows;
    size_t *hangs; /* by element: where its outlets leave what is kept */
    size_t
        *outlets; /* by element: the first in the list; one more at the end */
    bool *drawn;  /* by element: a steady draw hangs there */
    size_t *kept; /* by element: how many that are kept it feeds */
    size_t *top;  /* by element: where its run of pipes begins */
    size_t *end;  /* by element where a run begins: its last pipe */
};

/* One of the kind at hand, as its row has it. */
struct fci_fault fci_fault_at(const struct fci_listing *listing,
                              size_t element);
bool fci_fault_add(struct fci_listing *listing, const struct fci_fault *fault);
/* Whether more flowed there than what does not count. */
bool fci_fault_flowed(const struct fci_listing *listing, size_t element);

/* A fault that is put upon a trial. */
struct fci_supposed {
    struct fci_fault_trial *trial;
    const struct fci_fault *fault;
    fc_state state;
    size_t here;  /* its element, of the trial */
    size_t k;     /* it is the cause's k-th */
    double value; /* of its unknown */
};

/* A fault that is put into words. */
struct fci_wording {
    struct fci_arena *arena;
    const struct fci_readings *readings;
    const struct fci_fault *fault;
    bool brief; /* its name alone, without figures */
    const char *name;
    const char *part; /* an element's, with the word of its kind */
    double value;
    struct fci_shown size; /* of the value, without its sign */
    bool shut;             /* a loss that is told as a shut valve */
    struct fci_shown flow; /* at which a loss is told */
    const char *lost;      /* a loss that is told, with what was open */
};

/* What there is to fit of it. */
enum fci_unknown {
    FCI_NONE_TO_FIT,
    FCI_ABOVE_0, /* fitted by its logarithm */
    FCI_EITHER_SIGN
};

struct fci_fault_kind {
    fc_cause_kind kind;
    fc_dimension dimension; /* of its value as it is told; of a wrong reading
                               that of the reading */
    enum fci_unknown unknown;
    bool is_loss; /* so that it may be as large as is tried */
    bool in_slot; /* it is put into the spare device behind its element */
    const char *along[2]; /* said of a stretch of elements, where its unknown
                             is above 0, and where it is not; NULL: told one
                             by one */

    /* Which candidates there are, by where they are looked for, in this order;
     * each may be NULL, and is false out of memory. */
    unsigned parts; /* bits: of which kinds of element */
    bool (*list_at)(struct fci_listing *listing, size_t element);
    bool (*list_runs)(struct fci_listing *listing); /* of pipes */
    bool (*list_flushed)(struct fci_listing *listing, size_t fixture);
    bool (*list_rest)(struct fci_listing *listing);

    /* The trial with it; false: out of memory.  NULL: it changes no flow. */
    bool (*apply)(const struct fci_supposed *supposed);
    /* What a gauge or a watch shows with it that would show `shows` without;
     * NULL: the same. */
    double (*reads)(const struct fci_fault *fault,
                    const struct fci_readings *readings, size_t gauge,
                    double shows, double value);
    bool measured;                    /* a tape tells of it */
    const struct fci_look_kind *look; /* NULL: no look tells of it */
    bool doubts; /* it is of the readings, and not of the building */

    /* Its k-th unknown as it is told; NULL: in its scale. */
    double (*told)(const struct fci_cause *cause, size_t k,
                   const struct fci_readings *readings, double unknown);
    /* NULL out of memory. */
    const char *(*words)(const struct fci_wording *wording);
    /* What is to be done about it; see diagnose/work.h. */
    void (*steps)(struct fci_working *working);
    bool in_file; /* the file is put right with it, not the building */
    enum fci_suspect suspect; /* what it may be on its elements */
};

#define FCI_AT(part) (1U << (part))

extern const struct fci_fault_kind fci_supply_pressure, fci_supply_sag,
    fci_reducer_setting, fci_pump_off, fci_pump_weak, fci_blocked,
    fci_holds_back, fci_loses_less,
    fci_prv_not_listed; /* diagnose/fault_elements.c */
extern const struct fci_fault_kind fci_pipe_roughness, fci_smaller_size,
    fci_larger_size, fci_height; /* diagnose/fault_pipes.c */
extern const struct fci_fault_kind fci_stop_throttled, fci_valve_rate,
    fci_running_outlet, fci_valve_volume; /* diagnose/fault_outlets.c */
extern const struct fci_fault_kind fci_gauge_off, fci_changed,
    fci_wrong_reading; /* diagnose/fault_readings.c */

/* All of them; NULL at the end. */
extern const struct fci_fault_kind *const fci_fault_kinds[];

#endif
