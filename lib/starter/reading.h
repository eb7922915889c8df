/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/reading.h -- answers while they are read. */
#ifndef FCI_STARTER_READING_H
#define FCI_STARTER_READING_H

#include "ini/fields.h"
#include "starter/starter.h"

/* Their keys, and how each is read into struct fci_answers. */
extern const struct fci_field fci_answer_fields[FCI_ANSWERS];

struct fci_answer_reading {
    struct fci_answers *a;
    const struct fci_tables *tables;
    struct fci_arena *arena;
    fc_diagnostics *messages;
    fc_status worst;
    bool si; /* the building's units: a bare figure could be either */
};

/* "meter ...": what is wrong; what is expected. */
void fci_answer_wrong(struct fci_answer_reading *r, enum fci_answer key,
                      const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The answers that are names of the tables, or words (starter/words.c). */
void fci_answers_read_words(struct fci_answer_reading *r);
/* "1..4: 60 psi, 5..8: 70 psi" (starter/zones.c); `most` of them. */
void fci_answer_read_zones(struct fci_answer_reading *r, enum fci_answer key,
                           size_t most, struct fci_zone **zones, size_t *n);
/* Which floors have a riser of their own. */
void fci_answers_find_runs(struct fci_answer_reading *r);

#endif
