/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/book.c -- names of one kind as a user may write them. */
#include "ground/book.h"
#include "ground/synonyms.h"

#include <stdio.h>
#include <string.h>

/* ---- Finding ----------------------------------------------------------- */

static size_t
place_of(const struct fci_book *book, const char *name)
{
    size_t i;

    for (i = 0; i < book->n; i++)
        if (fci_same_name(book->name(book->of, i), name))
            return i;
    return FCI_NO_NAME;
}

/* What a word may mean: places in the book. */
#define MOST_MEANT 8
struct meant {
    size_t at[MOST_MEANT], n;
};

static void
take(struct meant *meant, size_t place)
{
    size_t i;

    for (i = 0; i < meant->n; i++)
        if (meant->at[i] == place)
            return;
    if (place != FCI_NO_NAME && meant->n < MOST_MEANT)
        meant->at[meant->n++] = place;
}

/* A name itself goes before all synonyms. */
static struct meant
meant_by(const struct fci_book *book, const char *word)
{
    struct meant meant = { .n = 0 };
    struct fci_meanings meanings;
    size_t i;

    take(&meant, place_of(book, word));
    for (i = 0; meant.n != 1 && i < book->n; i++)
        if (fci_same_words(book->name(book->of, i), word))
            take(&meant, i);
    if (meant.n > 0 || !book->synonyms)
        return meant;
    meanings = fci_meanings(book->synonyms, word);
    for (i = 0; i < meanings.n; i++)
        take(&meant, place_of(book, meanings.at[i].means));
    return meant;
}

size_t
fci_book_find(const struct fci_book *book, const char *word)
{
    const struct meant meant = meant_by(book, word);

    return meant.n == 1 ? meant.at[0] : FCI_NO_NAME;
}

const char *
fci_book_nearest(const struct fci_book *book, const char *word)
{
    struct fci_nearest nearest = fci_nearest_to(word);
    const struct fci_synonym *synonym;
    size_t i, n = 0, place;

    nearest.term = book->synonyms != NULL;
    for (i = 0; i < book->n; i++)
        fci_nearest_try(&nearest, book->name(book->of, i));
    if (book->more)
        fci_nearest_try_names(&nearest, book->more);
    synonym = book->synonyms ? fci_synonyms_of(book->synonyms, &n) : NULL;
    for (i = 0; i < n; i++) {
        place = place_of(book, synonym[i].means);
        if (place != FCI_NO_NAME)
            fci_nearest_try_for(&nearest, synonym[i].word,
                                book->name(book->of, place));
    }
    return fci_nearest_word(&nearest);
}

/* ---- Listing ----------------------------------------------------------- */

struct list {
    struct fci_refusal out;
    size_t used;
};

static void put(struct list *list, const char *format, const char *text)
    __attribute__((format(printf, 2, 0)));

static void
put(struct list *list, const char *format, const char *text)
{
    const size_t room = sizeof list->out.text - list->used;
    const int n = snprintf(list->out.text + list->used, room, format, text);

    if (n > 0)
        list->used += (size_t)n < room ? (size_t)n : room - 1;
}

/* The first word of a name that several may share, up to its comma. */
static size_t
head_of(const char *name)
{
    return strcspn(name, ",");
}

static bool
shares_head(const char *a, const char *b)
{
    const size_t n = head_of(a);
    char head[FCI_PLAIN_WORDS], other[FCI_PLAIN_WORDS];

    if (n != head_of(b) || n >= sizeof head)
        return false;
    snprintf(head, sizeof head, "%.*s", (int)n, a);
    snprintf(other, sizeof other, "%.*s", (int)n, b);
    return fci_same_name(head, other);
}

/* Whether two names have a word of three letters or more in common. */
static bool
shares_word(const char *name, const char *word)
{
    char a[FCI_PLAIN_WORDS], b[FCI_PLAIN_WORDS + 2], *token, *rest;
    char looked_for[FCI_PLAIN_WORDS + 2];

    if (!fci_plain_words(name, a) || !fci_plain_words(word, b + 1))
        return false;
    b[0] = ' ';
    strcat(b, " ");
    for (token = strtok_r(a, " ", &rest); token;
         token = strtok_r(NULL, " ", &rest)) {
        snprintf(looked_for, sizeof looked_for, " %s ", token);
        if (strlen(token) >= 3 && strstr(b, looked_for))
            return true;
    }
    return false;
}

/* Whether a name is to be told; `word` NULL: all are. */
static bool
is_told(const char *name, const char *word)
{
    return !word || shares_word(name, word);
}

/* The others that begin as the name i does, by what follows. */
static void
put_alike(struct list *list, const struct fci_book *book, size_t i,
          const char *word)
{
    const char *name = book->name(book->of, i), *other, *rest;
    size_t k;

    for (k = i + 1; k < book->n; k++) {
        other = book->name(book->of, k);
        if (!shares_head(name, other) || !is_told(other, word))
            continue;
        rest = other + head_of(other);
        rest += strspn(rest, ", ");
        put(list, " / %s", name[head_of(name)] && *rest ? rest : other);
    }
}

static bool
is_told_already(const struct fci_book *book, size_t i, const char *word)
{
    size_t k;

    for (k = 0; k < i; k++)
        if (shares_head(book->name(book->of, k), book->name(book->of, i))
            && is_told(book->name(book->of, k), word))
            return true;
    return false;
}

/* "water closet, flush valve / flush tank; lavatory": of names that begin
 * alike the others are told by what follows. */
static void
put_names(struct list *list, const struct fci_book *book, const char *word)
{
    const char *between = ", ";
    bool first = true;
    size_t i;

    for (i = 0; i < book->n; i++)
        if (strchr(book->name(book->of, i), ','))
            between = "; ";
    for (i = 0; i < book->n; i++) {
        if (!is_told(book->name(book->of, i), word)
            || is_told_already(book, i, word))
            continue;
        put(list, "%s", first ? "" : between);
        put(list, "%s", book->name(book->of, i));
        put_alike(list, book, i, word);
        first = false;
    }
}

/* Where all names would be long to read, those that have a word in common with
 * what was written are enough. */
#define LONG_LIST 300

static void
put_all(struct list *list, const struct fci_book *book, const char *word)
{
    const size_t start = list->used;
    bool some = false;
    size_t i;

    put_names(list, book, NULL);
    for (i = 0; i < book->n; i++)
        some |= shares_word(book->name(book->of, i), word);
    if (list->used - start <= LONG_LIST || !some)
        return;
    list->used = start;
    put_names(list, book, word);
}

/* ---- Refusing ---------------------------------------------------------- */

struct fci_refusal
fci_book_ambiguity(const struct fci_book *book, const char *word)
{
    const struct meant meant = meant_by(book, word);
    struct list list = { .out.text = "" };
    size_t i;

    if (meant.n < 2)
        return list.out;
    put(&list, "%s", "could be ");
    for (i = 0; i < meant.n; i++) {
        put(&list, "%s", i == 0 ? "" : i + 1 == meant.n ? " or " : ", ");
        put(&list, "\"%s\"", book->name(book->of, meant.at[i]));
    }
    put(&list, "%s", "; say which");
    return list.out;
}

struct fci_refusal
fci_book_names(const struct fci_book *book, const char *expected)
{
    struct list list = { .out.text = "" };

    put(&list, "%s", expected);
    put_names(&list, book, NULL);
    return list.out;
}

struct fci_refusal
fci_book_refusal(const struct fci_book *book, const char *word,
                 const char *unknown, const char *expected)
{
    const struct fci_refusal several = fci_book_ambiguity(book, word);
    const char *nearest;
    struct list list = { .out.text = "" };

    if (*several.text)
        return several;
    nearest = fci_book_nearest(book, word);
    put(&list, "%s; ", unknown);
    if (nearest) {
        put(&list, "did you mean \"%s\"?", nearest);
        return list.out;
    }
    put(&list, "%s", expected);
    put_all(&list, book, word);
    return list.out;
}
