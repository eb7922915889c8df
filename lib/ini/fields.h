/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/fields.h -- the keys of a section read into a struct, by a list.
 *
 * A kind of section is described by the list of its keys: what each must be
 * and where in the struct it goes.  Unknown keys, missing ones and figures of
 * the wrong dimension are reported here, once for all kinds.
 */
#ifndef FCI_INI_FIELDS_H
#define FCI_INI_FIELDS_H

#include "flushcalc.h"
#include "ini/ini.h"

enum fci_field_type {
    FCI_TEXT,   /* const char * */
    FCI_NAME,   /* const char *, a name of the site or of a table */
    FCI_FIGURE, /* fc_range, exact */
    FCI_RANGE,  /* fc_range */
    FCI_COUNT,  /* int, 1 or more */
    FCI_YES_NO, /* fc_answer */
    FCI_CHOICE, /* int: `choices` are the words, in the order of the enum */
    FCI_LOSS,   /* fc_loss */
    FCI_POINTS, /* const fc_point *; the size_t at `second` is their number */
    FCI_FIGURE_AT, /* fc_range; the one at `second` is what stands after "at",
                      or, of a volume, after "in" */
    FCI_FITTINGS,  /* const fc_fitting *; number at `second` */
    FCI_NAMES,     /* const char *const *; number at `second` */
    FCI_FLUSHING,  /* const fc_flushing *; number at `second` */
    FCI_DEVIATION, /* fc_deviation */
    FCI_SIZE_OR_CHOOSE, /* fc_range; the bool at `second` is `choose` */
    FCI_WHILE, /* fc_flushing list as FCI_FLUSHING, "alone" or "peak": see
                  the claim */
    FCI_SKIP   /* a key that the caller reads by itself */
};

/* What a figure must be beside having the right dimension. */
enum fci_domain {
    FCI_ANY,
    FCI_NOT_NEGATIVE,
    FCI_POSITIVE,
    FCI_FRACTION, /* 0 to 1 */
    FCI_READ,     /* a pressure that a gauge can show */
    FCI_ACCURACY  /* what a gauge may be off by */
};

/* No building has a figure beyond these, in SI; with one, what is worked out
 * would be infinite or nothing at all. */
#define FCI_LARGEST 1e9
#define FCI_LEAST 1e-9 /* of what must be above 0 */

struct fci_field {
    const char *key;
    enum fci_field_type type;
    fc_dimension dimension;
    enum fci_domain domain;
    size_t offset, second;
    fc_dimension second_dimension; /* of "at", of the y of points */
    bool required;
    const char *const *choices; /* ends with NULL */
};

/* The word between the two figures of FCI_FIGURE_AT. */
const char *fci_field_between(const struct fci_field *field);

/* Read every entry of the section into `part`, a zeroed struct.  Strings and
 * lists are put into `arena`.  All that is wrong is reported as
 * `path:line: [kind name] ...`.  FC_EINPUT when something was. */
fc_status fci_fields_read(const struct fci_field *fields, size_t n_fields,
                          const struct fci_section *section, const char *path,
                          struct fci_arena *arena, void *part,
                          fc_diagnostics *messages);

/* Read the entries over what the struct holds already, which is forgotten as
 * far as they fill it in; one whose value is NULL only has it forgotten.  What
 * is missing is not looked for. */
fc_status fci_fields_change(const struct fci_field *fields, size_t n_fields,
                            const struct fci_section *section,
                            const char *path, struct fci_arena *arena,
                            void *part, fc_diagnostics *messages);

/* Whether the section has the key, or an unknown one that seems to be a slip
 * for it, or a line that was not understood: nobody should be told that it is
 * missing. */
bool fci_fields_may_have(const struct fci_field *fields, size_t n_fields,
                         const struct fci_section *section, const char *key);

/* "[pipe riser-2]" for messages. */
struct fci_heading {
    char text[160];
};
struct fci_heading fci_heading(const char *kind, const char *name);

/* The keys of `[valve]`, shared by site files and tables. */
#define FCI_VALVE_FIELDS 12
extern const struct fci_field fci_valve_fields[FCI_VALVE_FIELDS];

#endif
