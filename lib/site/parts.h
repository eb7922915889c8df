/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/parts.h -- the kinds of sections of a site and their keys.
 *
 * One list per kind serves the reader (which key goes where), the calls
 * (copying a struct in) and the checks that both share.
 */
#ifndef FCI_SITE_PARTS_H
#define FCI_SITE_PARTS_H

#include "ground/book.h"
#include "ini/fields.h"

enum fci_kind {
    FCI_SITE,
    FCI_SOURCE,
    FCI_PIPE,
    FCI_METER,
    FCI_BACKFLOW,
    FCI_DEVICE,
    FCI_REDUCER,
    FCI_PUMP,
    FCI_PRESSURE_TANK,
    FCI_FIXTURE,
    FCI_VALVE,
    FCI_DEMAND,
    FCI_PRICES,
    FCI_HEATER,
    FCI_FIX_PRICES,
    FCI_USAGE,
    FCI_PEOPLE,
    FCI_READING,
    FCI_CLAIM,
    FCI_GAUGE,
    FCI_LOOK,
    FCI_FLOORS,
    FCI_TOLERANCE,
    FCI_KINDS
};

struct fci_part;

struct fci_part_kind {
    const char *word; /* "pipe" */
    const struct fci_field *fields;
    size_t n_fields;
    size_t size;                  /* of the struct */
    bool named;                   /* its first member is the name */
    bool element;                 /* water flows through it */
    bool rows;                    /* it has keys that are no fields: sizes, or
                                     floors */
    const fc_device_kind *device; /* its struct is an fc_device, of this kind;
                                     NULL: another struct */
};

extern const struct fci_part_kind fci_part_kinds[FCI_KINDS];
/* Their words, with the synonyms of them; and the kind that a word is one of,
 * or FCI_KINDS. */
struct fci_book fci_part_book(void);
enum fci_kind fci_part_kind_of(const char *word);
/* By fc_sight, from FC_SEEN_OPEN on. */
extern const char *const fci_sight_words[];

/* One section of a site, from a file or by a call. */
struct fci_part {
    enum fci_kind kind;
    const char *name; /* "" where the kind has none */
    void *data;       /* the fc_ struct */
    const char *path; /* NULL: made by a call */
    const struct fci_section *section;
    bool changed; /* since it was read or added: to be checked again, */
    bool as_file; /* as if a file had it so */
};

/* Beyond this from its pipe no fixture is: there is a pipe between. */
#define FCI_FIXTURE_RISES "-300..300 ft"

/* The kind of a part as its file has it: "regulator". */
const char *fci_part_headed(const struct fci_part *part);
/* The member that a key fills, NULL where its kind has no such key. */
void *fci_part_member(const struct fci_part *part, const char *key);
struct fci_where fci_part_where(const struct fci_part *part);

/* A failure of this part, at the line of `key` where there is one:
 * `path:line: [pipe a] length ...`.  `key` may be NULL. */
fc_status fci_part_fail(const struct fci_part *part, fc_diagnostics *messages,
                        const char *key, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* Whether the section it was read from has the key, understood or not, as far
 * as can be told (see fci_fields_may_have). */
bool fci_part_has_key(const struct fci_part *part, const char *key);

/* What a part must be by itself: figures finite and in their domain, curves
 * monotone, pairs possible, what its kind needs there.  Reports all. */
fc_status fci_part_check(const struct fci_part *part,
                         fc_diagnostics *messages);
/* The same of a part that was changed: unless as if a file had it so, what
 * would cure a building is tried up to pressures that none has. */
fc_status fci_part_check_changed(const struct fci_part *part,
                                 fc_diagnostics *messages);

/* The same of a struct that a caller made, before anything is copied of it:
 * its lists and enumerations may be anything. */
fc_status fci_part_check_given(const struct fci_part *part, const void *data,
                               fc_diagnostics *messages);

/* The floor that its elevation is over; NULL: its kind has no such key. */
const char *const *fci_part_floor(const struct fci_part *part);

/* The floors of a section, into a zeroed struct; and their copy. */
fc_status fci_floor_table_read(const struct fci_section *section,
                               const char *path, struct fci_arena *arena,
                               fc_floors *floors, fc_diagnostics *messages);
bool fci_floor_table_copy(fc_floors *floors, struct fci_arena *arena);

/* A deep copy of a part's struct, or NULL when out of memory. */
void *fci_part_copy(enum fci_kind kind, const void *data,
                    struct fci_arena *arena);

#endif
