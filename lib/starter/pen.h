/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/pen.h -- lines of a site file while it is written. */
#ifndef FCI_STARTER_PEN_H
#define FCI_STARTER_PEN_H

#include "starter/starter.h"
#include "units/units.h"

#define ASSUMED "assumed"

struct fci_pen {
    FILE *out;
    const struct fci_answers *a;
    const struct fci_tables *tables;
    const struct fci_starter_sizes *sizes; /* NULL: yet to be chosen */
    char feed[32]; /* the element that feeds what comes next */
};

/* "[pipe service]" after a blank line, with a remark or NULL. */
void fci_pen_section(const struct fci_pen *pen, const char *kind,
                     const char *name, const char *remark);
/* "size = 3 in        ; assumed"; `remark` NULL: none. */
void fci_pen_line(const struct fci_pen *pen, const char *key,
                  const char *remark, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* "20..50 ft", with the digits that a file needs. */
struct fci_shown fci_pen_digits(const struct fci_pen *pen,
                                fc_dimension dimension, fc_range value);
/* "length = 20..50 ft ; assumed". */
void fci_pen_range(const struct fci_pen *pen, const char *key,
                   const char *remark, fc_dimension dimension, fc_range value);
/* The same with the words of an answer, or, where there is none, what is
 * usual; `remark` is of the latter alone. */
void fci_pen_answer(const struct fci_pen *pen, const char *key,
                    enum fci_answer answer, enum fci_usual_name usual,
                    const char *remark);
/* The size of a pipe: that given; `choose`; or the one found and the next; and
 * what C may be where its material is not known. */
void fci_pen_size(const struct fci_pen *pen, enum fci_answer answer,
                  const struct fci_starter_size *found);
/* The feed of what comes next is this section's element; "from" before. */
void fci_pen_element(struct fci_pen *pen, const char *kind, const char *name,
                     const char *remark);

fc_range fci_pen_usual(const struct fci_pen *pen, enum fci_usual_name usual);
/* a + k b, of exact figures or ranges. */
fc_range fci_range_plus(fc_range a, double k, fc_range b);

/* The parts of the file, in their order. */
void fci_write_supply(struct fci_pen *pen);
void fci_write_risers(struct fci_pen *pen);
void fci_write_rooms(const struct fci_pen *pen);

#endif
