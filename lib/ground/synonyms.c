/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/synonyms.c -- what else the trade calls a thing. */
#include "ground/synonyms.h"
#include "ground/characters.h"
#include "ground/names.h"

#include <string.h>

static bool
parts_words(char c)
{
    return c == ' ' || c == ',' || c == '-' || c == '_' || c == '\t';
}

/* A point within a figure is part of it. */
static bool
parts_words_at(const char *p)
{
    return parts_words(*p) || (*p == '.' && (!p[1] || parts_words(p[1])));
}

bool
fci_plain_words(const char *text, char words[FCI_PLAIN_WORDS])
{
    size_t n = 0;

    for (; *text; text++) {
        if (parts_words_at(text)) {
            if (n > 0 && words[n - 1] != ' ' && n < FCI_PLAIN_WORDS - 1)
                words[n++] = ' ';
            continue;
        }
        if (n == FCI_PLAIN_WORDS - 1)
            return false;
        words[n++] = fci_lower(*text);
    }
    while (n > 0 && words[n - 1] == ' ')
        n--;
    words[n] = '\0';
    return n > 0;
}

bool
fci_same_words(const char *a, const char *b)
{
    char first[FCI_PLAIN_WORDS], second[FCI_PLAIN_WORDS];

    return fci_plain_words(a, first) && fci_plain_words(b, second)
           && strcmp(first, second) == 0;
}

/* The first synonym that is not before a word of a list. */
static size_t
place_of(const char *list, const char *word)
{
    size_t low = 0, high = fci_n_synonyms;

    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const struct fci_synonym *at = &fci_synonyms[middle];
        int order = strcmp(at->list, list);

        if (order == 0)
            order = strcmp(at->word, word);
        if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static bool
is_of(size_t place, const char *list)
{
    return place < fci_n_synonyms
           && strcmp(fci_synonyms[place].list, list) == 0;
}

struct fci_meanings
fci_meanings(const char *list, const char *word)
{
    struct fci_meanings meanings = { NULL, 0 };
    char plain[FCI_PLAIN_WORDS];
    size_t place;

    if (!fci_plain_words(word, plain))
        return meanings;
    place = place_of(list, plain);
    meanings.at = &fci_synonyms[place];
    while (is_of(place + meanings.n, list)
           && strcmp(meanings.at[meanings.n].word, plain) == 0)
        meanings.n++;
    return meanings;
}

bool
fci_means(const char *list, const char *word, const char *meant)
{
    const struct fci_meanings meanings = fci_meanings(list, word);
    size_t i;

    for (i = 0; i < meanings.n; i++)
        if (fci_same_name(meanings.at[i].means, meant))
            return true;
    return fci_same_name(word, meant);
}

/* Words that begin alike stand together. */
const struct fci_synonym *
fci_synonym_at(const char *list, const char *p, size_t most, size_t *length)
{
    const char first[] = { fci_lower(*p), '\0' };
    const struct fci_synonym *found = NULL;
    size_t place, n;

    *length = 0;
    if (!*p)
        return NULL;
    for (place = place_of(list, first);
         is_of(place, list) && fci_synonyms[place].word[0] == first[0];
         place++)
        if ((n = fci_match(p, fci_synonyms[place].word)) > *length
            && n <= most) {
            *length = n;
            found = &fci_synonyms[place];
        }
    return found;
}

const struct fci_synonym *
fci_synonyms_of(const char *list, size_t *n)
{
    const size_t first = place_of(list, "");

    for (*n = 0; is_of(first + *n, list);)
        ++*n;
    return &fci_synonyms[first];
}
