/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/field_type.h -- what there is to do with a key, by its type: a row
 * of functions.
 */
#ifndef FCI_INI_FIELD_TYPE_H
#define FCI_INI_FIELD_TYPE_H

#include "ini/fields.h"

#define FCI_MOST_COUNT 1e6 /* like fixtures at one place: above it, a slip */

/* The value of one key: under which field, in which section, and what is wrong
 * with it. */
struct fci_value {
    const struct fci_field *field;
    struct fci_where where;
    fc_diagnostics *messages;
    fc_status status;        /* the last failure, or FC_ENOMEM */
    const char *text;        /* what is to be read */
    struct fci_arena *arena; /* of what is read */
    char *line;              /* what is written: see fci_put() */
    size_t used;
    fc_unit_system system; /* to write in */
};

/* `part` and `data` are the struct that the field's offsets count in. */
struct fci_field_type {
    size_t at, second; /* bytes that are filled in at the field's two places */
    const char *needed;  /* "a name", for a missing one; NULL: a figure of the
                            dimension, or one of the choices */
    size_t item, string; /* of a list, whose number stands at the second place:
                            bytes an item, and where in it its string stands */
    fc_status (*read)(struct fci_value *v, char *part);
    /* What the value must be by itself; NULL: anything. */
    void (*check)(struct fci_value *v, const char *data);
    /* The value put as a site file has it; nothing, where none is given. */
    void (*write)(struct fci_value *v, const char *data);
    /* What the struct points to, copied; NULL: it points to nothing. */
    bool (*copy)(const struct fci_field *field, char *part,
                 struct fci_arena *arena);
    /* What else stands as not given when the two places are zeroed. */
    void (*forget)(char *part);
};

/* What a figure must be: a range of finite figures in the field's domain. */
void fci_check_range(struct fci_value *v, const struct fci_field *field,
                     fc_range value);
/* A text of a call must be one line of text. */
void fci_check_text(struct fci_value *v, const char *text);
/* A figure or a range, as a site file has it; nothing where it is not given.
 */
void fci_put_range(struct fci_value *v, fc_dimension dimension,
                   fc_range value);

/* "us or si", "street main, tank or fixed". */
void fci_list_choices(const struct fci_field *field, char *text, size_t size);
/* The choice that is meant, by its place; FCI_NO_NAME: none, or several. */
size_t fci_find_choice(const struct fci_field *field, const char *word);

/* A member of the struct. */
#define FCI_AT(data, offset, type)                                            \
    ((const type *)(const void *)((data) + (offset)))
#define FCI_INTO(part, offset, type) ((type *)(void *)((part) + (offset)))

/* "[valve a] regulated ...", at the line of the key. */
fc_status fci_value_fail(struct fci_value *v, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* "x"; yes or no is expected. */
fc_status fci_value_wrong(struct fci_value *v, const char *text,
                          const char *expected);

/* More of the value that is written.  What stands in the struct but in no site
 * file is blamed. */
void fci_put(struct fci_value *v, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void fci_put_comma(struct fci_value *v, size_t i);
void fci_blame(struct fci_value *v, const char *what);

/* The next item of a list separated by commas, trimmed, into `item`. */
bool fci_next_item(const char **list, char *item, size_t size);
/* The array of a list that is read, in the arena; its pointer is put at
 * `place` and its length at *n. */
void *fci_list_array(const struct fci_value *v, size_t item, void *place,
                     size_t *n);
/* The pointer at `place` replaced by one to a copy in the arena. */
bool fci_copy_array(void *place, size_t size, struct fci_arena *arena);

#endif
