/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/shape.h -- what a result tells programs, described once.
 *
 * A shape lists the members of a struct as a row each.  JSON, the columns of
 * CSV and the JSON Schema are made of it, so that a new member is a new row.
 */
#ifndef FCI_PAGE_SHAPE_H
#define FCI_PAGE_SHAPE_H

#include "flushcalc.h"

#include <stdint.h>

enum fci_member_type {
    FCI_M_TEXT,    /* const char *; NULL becomes null */
    FCI_M_WORD,    /* an enum, told by a word of `words` */
    FCI_M_COUNT,   /* size_t */
    FCI_M_INTEGER, /* int */
    FCI_M_FLAG,    /* bool */
    FCI_M_NUMBER,  /* double; what is not finite becomes null */
    FCI_M_FIGURE,  /* double in SI, told in the report's unit */
    FCI_M_RANGE,   /* fc_range likewise: the nominal figure, and where its ends
                      differ `key`_low and `key`_high */
    FCI_M_OBJECT,  /* a struct of another shape */
    FCI_M_SPREAD,  /* one that is pointed to and always there, whose members
                      stand among those of this one */
    FCI_M_LIST,    /* struct fci_list of such structs */
    FCI_M_TEXTS,   /* struct fci_list of const char * */
    FCI_M_FIGURES  /* struct fci_list of double */
};

/* What a member of several holds. */
struct fci_list {
    const void *items;
    size_t n;
};

struct fci_words {
    const char *const *words; /* by the value of the enum; NULL: null */
    size_t n;
};

/* Room for what a getter makes up; what it returns may point into it. */
union fci_value {
    const char *text;
    int word, integer;
    size_t count;
    bool flag;
    double number;
    fc_range range;
    struct fci_list list;
};

/* What a getter may look at: the object, and the root of the report. */
struct fci_at {
    const void *root, *object;
};

struct fci_shape;

/* When a member is null beside being nothing itself. */
enum fci_condition {
    FCI_ALWAYS_TOLD,
    FCI_IF_SET, /* unless another one, a flag, count or pointer, is not 0 */
    FCI_IF_DIMENSION, /* unless the struct's `dimension` is the row's */
    FCI_IF_ANY_TEXT   /* where it is an empty text */
};

struct fci_member {
    const char *key;
    enum fci_member_type type;
    fc_dimension dimension;
    size_t offset; /* of a plain member */
    bool pointed;  /* what stands there is a pointer to the object */
    bool flagged;  /* of a word: what stands there is a bool */
    size_t count;  /* of a list: the offset of its size_t */
    enum fci_condition condition;
    size_t test, test_size; /* the other member of that condition */
    /* Computes the member in place of `offset`: its address, or NULL for
     * null. */
    const void *(*get)(struct fci_at at, union fci_value *room);
    const struct fci_shape *shape;
    const struct fci_words *words;
    const char *about; /* for the schema: what it is, in a line */
};

struct fci_shape {
    const char *name; /* of the schema's definition */
    const char *about;
    const struct fci_member *members;
    size_t n_members;
    size_t size; /* of the struct, where it stands in lists */
};

/* Rows; `of` is the struct, `part` a member of it. */
#define FCI_PLAIN(k, t, d, of, part, a)                                       \
    {                                                                         \
        .key = k, .type = t, .dimension = d, .offset = offsetof(of, part),    \
        .about = a                                                            \
    }
#define FCI_TEXT(of, part, key, about)                                        \
    FCI_PLAIN(key, FCI_M_TEXT, FC_NUMBER, of, part, about)
#define FCI_COUNT(of, part, key, about)                                       \
    FCI_PLAIN(key, FCI_M_COUNT, FC_NUMBER, of, part, about)
#define FCI_INTEGER(of, part, key, about)                                     \
    FCI_PLAIN(key, FCI_M_INTEGER, FC_NUMBER, of, part, about)
#define FCI_FLAG(of, part, key, about)                                        \
    FCI_PLAIN(key, FCI_M_FLAG, FC_NUMBER, of, part, about)
#define FCI_NUMBER(of, part, key, about)                                      \
    FCI_PLAIN(key, FCI_M_NUMBER, FC_NUMBER, of, part, about)
#define FCI_FIGURE(of, part, key, dimension, about)                           \
    FCI_PLAIN(key, FCI_M_FIGURE, dimension, of, part, about)
#define FCI_RANGE(of, part, key, dimension, about)                            \
    FCI_PLAIN(key, FCI_M_RANGE, dimension, of, part, about)
#define FCI_WORD(of, part, k, w, a)                                           \
    {                                                                         \
        .key = k, .type = FCI_M_WORD, .offset = offsetof(of, part),           \
        .words = w, .about = a                                                \
    }
#define FCI_OBJECT(of, part, k, s, a)                                         \
    {                                                                         \
        .key = k, .type = FCI_M_OBJECT, .offset = offsetof(of, part),         \
        .shape = s, .about = a                                                \
    }
/* The word of a flag. */
#define FCI_FLAG_WORD(of, part, k, w, a)                                      \
    {                                                                         \
        .key = k, .type = FCI_M_WORD, .offset = offsetof(of, part),           \
        .flagged = true, .words = w, .about = a                               \
    }
/* "" becomes null. */
#define FCI_ANY_TEXT(of, part, k, a)                                          \
    {                                                                         \
        .key = k, .type = FCI_M_TEXT, .offset = offsetof(of, part),           \
        .condition = FCI_IF_ANY_TEXT, .about = a                              \
    }
/* Of a struct whose figures are of the dimension that it says: the figure
 * where it is of this one. */
#define FCI_FIGURE_OF(of, part, k, d, a)                                      \
    {                                                                         \
        .key = k, .type = (d) == FC_NUMBER ? FCI_M_NUMBER : FCI_M_FIGURE,     \
        .dimension = d, .offset = offsetof(of, part),                         \
        .condition = FCI_IF_DIMENSION, .test = offsetof(of, dimension),       \
        .about = a                                                            \
    }
/* Members that mean something only where another one, `set`, is not 0. */
#define FCI_TEST(of, set)                                                     \
    .condition = FCI_IF_SET, .test = offsetof(of, set),                       \
    .test_size = sizeof((of *)0)->set
#define FCI_PLAIN_IF(k, t, d, of, part, set, a)                               \
    {                                                                         \
        .key = k, .type = t, .dimension = d, .offset = offsetof(of, part),    \
        FCI_TEST(of, set), .about = a                                         \
    }
#define FCI_WORD_IF(of, part, set, k, w, a)                                   \
    {                                                                         \
        .key = k, .type = FCI_M_WORD, .offset = offsetof(of, part),           \
        FCI_TEST(of, set), .words = w, .about = a                             \
    }
#define FCI_OBJECT_IF(of, part, set, k, s, a)                                 \
    {                                                                         \
        .key = k, .type = FCI_M_OBJECT, .offset = offsetof(of, part),         \
        FCI_TEST(of, set), .shape = s, .about = a                             \
    }
/* The object once more, by another shape: as a member, or spread. */
#define FCI_ITSELF(k, s, a)                                                   \
    {                                                                         \
        .key = k, .type = FCI_M_OBJECT, .shape = s, .about = a                \
    }
#define FCI_SPREAD_ITSELF(s)                                                  \
    {                                                                         \
        .key = "", .type = FCI_M_SPREAD, .shape = s, .about = ""              \
    }
/* One that is pointed to; NULL becomes null. */
#define FCI_POINTER(of, part, k, s, a)                                        \
    {                                                                         \
        .key = k, .type = FCI_M_OBJECT, .offset = offsetof(of, part),         \
        .pointed = true, .shape = s, .about = a                               \
    }
#define FCI_SPREAD(of, part, s)                                               \
    {                                                                         \
        .key = "", .type = FCI_M_SPREAD, .offset = offsetof(of, part),        \
        .pointed = true, .shape = s, .about = ""                              \
    }
/* The same of one that stands there itself. */
#define FCI_SPREAD_IN(of, part, s)                                            \
    {                                                                         \
        .key = "", .type = FCI_M_SPREAD, .offset = offsetof(of, part),        \
        .shape = s, .about = ""                                               \
    }
/* A pointer and its count. */
#define FCI_LIST(of, part, n, k, s, a)                                        \
    {                                                                         \
        .key = k, .type = FCI_M_LIST, .offset = offsetof(of, part),           \
        .count = offsetof(of, n), .shape = s, .about = a                      \
    }
#define FCI_TEXTS(of, part, n, k, a)                                          \
    {                                                                         \
        .key = k, .type = FCI_M_TEXTS, .offset = offsetof(of, part),          \
        .count = offsetof(of, n), .about = a                                  \
    }
#define FCI_FIGURES(of, part, n, k, d, a)                                     \
    {                                                                         \
        .key = k, .type = FCI_M_FIGURES, .dimension = d,                      \
        .offset = offsetof(of, part), .count = offsetof(of, n), .about = a    \
    }
/* Computed; `t` is one of enum fci_member_type. */
#define FCI_GET(k, t, d, getter, a)                                           \
    {                                                                         \
        .key = k, .type = t, .dimension = d, .get = getter, .about = a        \
    }
#define FCI_GET_WORD(k, w, getter, a)                                         \
    {                                                                         \
        .key = k, .type = FCI_M_WORD, .words = w, .get = getter, .about = a   \
    }
/* An object, or a list, whose place is computed; NULL: null. */
#define FCI_GET_OBJECT(k, s, getter, a)                                       \
    {                                                                         \
        .key = k, .type = FCI_M_OBJECT, .shape = s, .get = getter, .about = a \
    }
#define FCI_GET_LIST(k, s, getter, a)                                         \
    {                                                                         \
        .key = k, .type = FCI_M_LIST, .shape = s, .get = getter, .about = a   \
    }

#define FCI_SHAPE(variable, n, type, rows, a)                                 \
    const struct fci_shape variable = { n, a, rows,                           \
                                        sizeof rows / sizeof *rows,           \
                                        sizeof(type) }
#define FCI_WORDS(variable, list)                                             \
    const struct fci_words variable = { list, sizeof list / sizeof *list }

/* What a row says of an object; false: null.  A list comes as a struct
 * fci_list whatever it is kept as. */
bool fci_member_value(const struct fci_member *member, struct fci_at at,
                      union fci_value *room, const void **value);
/* The word of an enum; NULL: null. */
const char *fci_word_of(const struct fci_words *words, int value);

#endif
