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

#include <stdarg.h>

/* What there is to do with a key: see ini/field_type.h. */
struct fci_field_type;
extern const struct fci_field_type fci_text_field, /* const char * */
    fci_name_field,        /* const char *, a name of the site or of a table */
    fci_figure_field,      /* fc_range, exact */
    fci_range_field,       /* fc_range */
    fci_price_field,       /* fc_range, exact, a number that may have a $ */
    fci_count_field,       /* int, 1 or more */
    fci_yes_no_field,      /* fc_answer */
    fci_choice_field,      /* int: `choices` are the words, in the order of the
                              enum, whose first is `second` */
    fci_said_choice_field, /* the same from 0 up; the bool at `second` is
                              whether it was said */
    fci_loss_field,        /* fc_loss */
    fci_flow_test_field,   /* as the next, "50 psi at 223 gpm" */
    fci_points_field,      /* const fc_point *; the size_t at `second` is their
                              number */
    fci_figure_at_field, /* fc_range; the one at `second` is what stands after
                            "at", or, of a volume, after "in" */
    fci_fittings_field,  /* const fc_fitting *; number at `second` */
    fci_names_field,     /* const char *const *; number at `second` */
    fci_spells_field,    /* const fc_spell *; number at `second` */
    fci_flushing_field,  /* const fc_flushing *; number at `second` */
    fci_open_field,      /* the same by another key, which is not written */
    fci_deviation_field, /* fc_deviation */
    fci_height_field, /* fc_range, an elevation; over the floor whose name is
                         the const char * at `second` */
    fci_size_or_choose_field, /* fc_range; the bool at `second` is `choose` */
    fci_while_field, /* fc_flushing list as fci_flushing_field, "alone" or
                        "peak": see the claim */
    fci_skip_field;  /* a key that the caller reads by itself */

/* What a figure must be beside having the right dimension. */
enum fci_domain {
    FCI_ANY,
    FCI_NOT_NEGATIVE,
    FCI_COUNTED, /* 0 or more, and no share */
    FCI_POSITIVE,
    FCI_FRACTION, /* 0 to 1 */
    FCI_READ,     /* a pressure that a gauge can show */
    FCI_ACCURACY  /* what a gauge may be off by */
};

/* No building has a figure beyond these, in SI; with one, what is worked out
 * would be infinite or nothing at all, or wider than any table. */
double fci_largest(fc_dimension dimension);
double fci_least(fc_dimension dimension); /* of what must be above 0 */

/* `second` of a loss whose points may fall as the flow grows. */
#define FCI_MAY_DIP 1

/* Pa: 0.05 psi.  The finest test gauges are good to a tenth of a percent of
 * their range, which at 60 psi is that (common practice); less would also be
 * printed as 0.0 psi. */
#define FCI_FINEST_GAUGE 344.7378646584

struct fci_field {
    const char *key;
    const struct fci_field_type *type;
    fc_dimension dimension;
    enum fci_domain domain;
    size_t offset, second;
    fc_dimension second_dimension; /* of "at", of the y of points */
    bool required;
    const char *const *choices; /* ends with NULL */
};

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

/* What a key fills in, from another struct of the kind; its strings and lists
 * are copied to the arena.  Not for a `while`, which fills in more than its
 * two places.  FC_EUNKNOWN: there is no such key. */
fc_status fci_fields_take(const struct fci_field *fields, size_t n_fields,
                          const char *key, const void *from,
                          struct fci_arena *arena, void *part);

/* What the section lacks of that which every part of its kind needs. */
fc_status fci_fields_missing(const struct fci_field *fields, size_t n_fields,
                             const struct fci_section *section,
                             const char *path, fc_diagnostics *messages);

/* The key of the list that a word stands for, the word itself where that is
 * none or could be several. */
const char *fci_fields_key(const struct fci_field *fields, size_t n,
                           const char *key);
/* Every entry of the section whose key is a synonym becomes one of the key
 * that it stands for.  What could be several keys, or stands for one that is
 * given too, is said and left out. */
fc_status fci_fields_rename(const struct fci_field *fields, size_t n_fields,
                            struct fci_section *section, const char *path,
                            fc_diagnostics *messages);

/* What the word of a heading says of the key "kind": "rp" that of `[rpz x]`;
 * NULL: nothing. */
const char *fci_fields_headed(const struct fci_field *fields, size_t n,
                              const char *heading);
/* That becomes an entry of the section, unless it has the same; another kind
 * is refused. */
fc_status fci_fields_head(const struct fci_field *fields, size_t n,
                          struct fci_section *section, const char *path,
                          struct fci_arena *arena, fc_diagnostics *messages);

/* Whether the section has the key, or an unknown one that seems to be a slip
 * for it, or a line that was not understood: nobody should be told that it is
 * missing. */
bool fci_fields_may_have(const struct fci_field *fields, size_t n_fields,
                         const struct fci_section *section, const char *key);

/* "[pipe riser-2]" for messages; "" of keys that stand in no section, whose
 * kind is "". */
struct fci_heading {
    char text[160];
};
struct fci_heading fci_heading(const char *kind, const char *name);

/* Whom a message names. */
struct fci_where {
    const char *kind, *name, *path;
    const struct fci_section *section; /* NULL: made by a call */
};
/* `path:line: [pipe a] length ...`, at the line of `key` where there is one.
 * `key` may be NULL. */
fc_status fci_fail_where(const struct fci_where *where,
                         fc_diagnostics *messages, const char *key,
                         const char *format, va_list args);

/* The keys of `[valve]`, shared by site files and tables. */
#define FCI_VALVE_FIELDS 21
extern const struct fci_field fci_valve_fields[FCI_VALVE_FIELDS];

#endif
