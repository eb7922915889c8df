/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_entries.h -- sections of tables turned into their typed
 * form. */
#ifndef FCI_TABLES_TABLE_ENTRIES_H
#define FCI_TABLES_TABLE_ENTRIES_H

#include "ini/fields.h"
#include "tables/tables.h"
#include "units/units.h"

#include <stdatomic.h>
#include <stddef.h>

/* One section after merging, with where each of its lines came from. */
struct fci_table_part {
    struct fci_section section;
    const char *path;   /* of its line */
    const char **paths; /* of each entry */
    bool amended;
};

enum fci_table {
    FCI_TABLE_PIPE,
    FCI_TABLE_FITTINGS,
    FCI_TABLE_FIXTURE_IPC,
    FCI_TABLE_FIXTURE_UPC,
    FCI_TABLE_DEMAND,
    FCI_TABLE_FALLING,
    FCI_TABLE_METER,
    FCI_TABLE_VALVE,
    FCI_TABLE_MINIMUM,
    FCI_TABLE_LIMIT,
    FCI_TABLE_USUAL,
    FCI_TABLE_FAULT,
    FCI_TABLE_ARRESTERS,
    FCI_TABLE_SYNONYMS,
    FCI_TABLE_JUDGMENT,
    FCI_TABLES
};

/* A section being turned; `worst` gathers the outcome. */
struct fci_table_reader {
    struct fci_arena *arena;
    const struct fci_table_part *part;
    fc_diagnostics *messages;
    fc_status worst;
};

struct fci_table_kind {
    const char *word;         /* "pipe", "fixture ipc": how it is headed */
    size_t size;              /* of the typed form */
    const char *const *names; /* the only ones that mean anything, or NULL */
    void (*read)(struct fci_table_reader *r, void *entry);
};

extern const struct fci_table_kind fci_table_kinds[FCI_TABLES];
/* Whether the heading of some kind begins with this word. */
bool fci_is_table_word(const char *word);

/* ---- Messages --------------------------------------------------------- */

/* A failure at an entry of the part, or, where NULL, at its heading:
 * `path:line: [pipe a] 1 in ...`. */
void fci_table_wrong(struct fci_table_reader *r, const struct fci_entry *entry,
                     const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* "value"; `expected` is expected. */
void fci_table_wrong_value(struct fci_table_reader *r,
                           const struct fci_entry *entry,
                           const char *expected);
/* Which of two entries that contradict each other to blame: the second, or
 * the first where that alone is an amendment. */
const struct fci_entry *fci_table_blamed(const struct fci_table_reader *r,
                                         const struct fci_entry *first,
                                         const struct fci_entry *second);
void fci_table_note(struct fci_table_reader *r, fc_status status);

/* ---- Fields and rows -------------------------------------------------- */

#define FCI_FIELD(k, t, d, m, s, f)                                           \
    .key = (k), .type = (t), .dimension = (d), .domain = (m),                 \
    .offset = offsetof(s, f)
#define FCI_TEXT_FIELD(k, s, f)                                               \
    {                                                                         \
        FCI_FIELD(k, &fci_text_field, FC_NUMBER, FCI_ANY, s, f)               \
    }
#define FCI_NAME_FIELD(k, s, f, need)                                         \
    {                                                                         \
        FCI_FIELD(k, &fci_name_field, FC_NUMBER, FCI_ANY, s, f),              \
            .required = (need)                                                \
    }
#define FCI_FIGURE_FIELD(k, d, m, s, f, need)                                 \
    {                                                                         \
        FCI_FIELD(k, &fci_figure_field, d, m, s, f), .required = (need)       \
    }
#define FCI_SKIP_FIELD(k)                                                     \
    {                                                                         \
        .key = (k), .type = &fci_skip_field                                   \
    }
/* In every kind.  `source` is looked for before the parts are merged. */
#define FCI_COMMON_FIELDS                                                     \
    FCI_SKIP_FIELD("title"), FCI_SKIP_FIELD("source"), FCI_SKIP_FIELD("note")
#define FCI_COUNT_OF(list) (sizeof(list) / sizeof *(list))

/* Read the entries that are no rows into `data`.  Where `skipped` is given,
 * a list that ends with NULL, no entry is a row, and its keys are left out. */
void fci_table_fields(struct fci_table_reader *r,
                      const struct fci_field *fields, size_t n,
                      const char *const *skipped, void *data);

struct fci_table_row {
    double place; /* a nominal size, or a number: what rows are ordered by */
    const struct fci_entry *entry;
};

/* The rows of the part in ascending order, one a place; NULL: none that can
 * be used, which has been said.  Their keys are nominal sizes (FC_SIZE) or
 * numbers. */
struct fci_table_row *fci_table_rows(struct fci_table_reader *r,
                                     fc_dimension dimension, size_t *n);
/* From the arena; NULL: out of memory, which has been noted. */
void *fci_table_array(struct fci_table_reader *r, size_t n, size_t size);
/* The next item of a list separated by commas, trimmed and cut to fit. */
bool fci_table_next_item(const char **list, char *item, size_t size);
/* "-" as NAN, else a figure; false: neither, `why` says so. */
bool fci_table_figure_or_dash(const char *text, fc_dimension dimension,
                              double *value, struct fci_reason *why);

/* ---- The kinds -------------------------------------------------------- */

extern const char *const fci_falling_words[];

void fci_table_read_pipe(struct fci_table_reader *r, void *entry);
void fci_table_read_fittings(struct fci_table_reader *r, void *entry);
void fci_table_read_meter(struct fci_table_reader *r, void *entry);
void fci_table_read_fixture(struct fci_table_reader *r, void *entry);
void fci_table_read_demand(struct fci_table_reader *r, void *entry);
void fci_table_read_falling(struct fci_table_reader *r, void *entry);
void fci_table_read_arresters(struct fci_table_reader *r, void *entry);
void fci_table_read_fault(struct fci_table_reader *r, void *entry);

/* ---- All sections ----------------------------------------------------- */

/* All entries of one kind. */
struct fci_table_list {
    struct fci_names names;
    char *items;
    size_t size; /* bytes an item: fci_table_kinds[].size */
    size_t n;
};

struct fci_tables {
    atomic_size_t owners;
    const char *path;       /* of what is read on top; NULL: nothing */
    struct fci_arena arena; /* all but the files and the names */
    struct fci_ini *files;
    size_t n_files;
    struct fci_table_part *parts; /* in the order of the files */
    size_t n_parts;
    struct fci_table_list of[FCI_TABLES];
};

/* Read the embedded files and that at `path` (NULL: none) and merge them into
 * parts.  FC_EINPUT: something is wrong, but there are parts to go on with. */
fc_status fci_table_parts(struct fci_tables *tables, const char *path,
                          fc_diagnostics *messages);
/* Turn the parts into entries and tie those that refer to another. */
fc_status fci_table_entries(struct fci_tables *tables,
                            fc_diagnostics *messages);
/* The entry of this kind and name, or NULL. */
const void *fci_table_find(const struct fci_tables *tables,
                           enum fci_table kind, const char *name);

#endif
