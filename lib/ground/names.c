/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/names.c -- names without regard to case, and the nearest known
 * one.
 *
 *   [FNV]  G. Fowler, L. C. Noll, K.-P. Vo, The FNV Non-Cryptographic Hash
 *          Algorithm, IETF draft draft-eastlake-fnv: FNV-1a, 64 bits
 *   [D64]  F. J. Damerau, Comm. ACM 7 (1964) 171-176: a slip of the pen is
 *          a letter too many, too few, wrong, or two swapped
 */
#include "ground/names.h"

#include <stdlib.h>
#include <string.h>

#define FEWEST_SLOTS 16u
#define LONGEST_WORD 64u

struct fci_name_slot {
    const char *name; /* NULL: free */
    uint64_t hash;
    size_t value;
};

/* tolower() depends on the locale, names do not. */
static unsigned char
lower(char c)
{
    return (unsigned char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

/* [FNV].  The last fold lets the high bits reach the low ones, by which a
 * slot is chosen: the low bits of FNV-1a alone are easily made to collide. */
static uint64_t
hash_of(const char *name)
{
    uint64_t hash = UINT64_C(0xcbf29ce484222325);

    for (; *name; name++)
        hash = (hash ^ lower(*name)) * UINT64_C(0x100000001b3);
    hash ^= hash >> 32;
    hash *= UINT64_C(0x9e3779b97f4a7c15);
    return hash ^ hash >> 32;
}

static int
compared(const char *a, const char *b)
{
    while (*a && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return lower(*a) - lower(*b);
}

bool
fci_same_name(const char *a, const char *b)
{
    return compared(a, b) == 0;
}

bool
fci_is_pattern(const char *text)
{
    return strchr(text, '*') != NULL;
}

/* Where letters do not go on as the pattern does, its last `*` so far takes
 * one letter more. */
bool
fci_name_matches(const char *pattern, const char *name)
{
    const char *star = NULL, *taken = NULL;

    while (*name) {
        if (*pattern == '*') {
            star = pattern++;
            taken = name;
        } else if (lower(*pattern) == lower(*name)) {
            pattern++;
            name++;
        } else if (star) {
            pattern = star + 1;
            name = ++taken;
        } else {
            return false;
        }
    }
    while (*pattern == '*')
        pattern++;
    return *pattern == '\0';
}

/* The slot that holds the name, or the free one where it belongs.  There is a
 * free one, as tables are never full. */
static struct fci_name_slot *
slot_for(const struct fci_names *names, const char *name, uint64_t hash)
{
    const size_t mask = names->n_slots - 1;
    size_t i = (size_t)hash & mask;

    while (names->slots[i].name
           && (names->slots[i].hash != hash
               || !fci_same_name(names->slots[i].name, name)))
        i = (i + 1) & mask;
    return &names->slots[i];
}

static bool
is_full_enough(const struct fci_names *names)
{
    return names->n_names >= names->n_slots / 16 * 11; /* 0.69 */
}

static fc_status
grow(struct fci_names *names)
{
    struct fci_names larger = { NULL, FEWEST_SLOTS, names->n_names };
    size_t i;

    if (names->n_slots > SIZE_MAX / 2)
        return FC_ENOMEM;
    if (names->n_slots)
        larger.n_slots = 2 * names->n_slots;
    larger.slots = calloc(larger.n_slots, sizeof *larger.slots);
    if (!larger.slots)
        return FC_ENOMEM;
    for (i = 0; i < names->n_slots; i++) {
        const struct fci_name_slot *slot = &names->slots[i];

        if (slot->name)
            *slot_for(&larger, slot->name, slot->hash) = *slot;
    }
    free(names->slots);
    *names = larger;
    return FC_OK;
}

fc_status
fci_names_enter(struct fci_names *names, const char *name, size_t *value,
                bool *known)
{
    const uint64_t hash = hash_of(name);
    struct fci_name_slot *slot;

    if (is_full_enough(names)) {
        const fc_status status = grow(names);

        if (status != FC_OK)
            return status;
    }
    slot = slot_for(names, name, hash);
    *known = slot->name != NULL;
    if (*known) {
        *value = slot->value;
    } else {
        slot->name = name;
        slot->hash = hash;
        slot->value = *value;
        names->n_names++;
    }
    return FC_OK;
}

size_t
fci_names_find(const struct fci_names *names, const char *name)
{
    const struct fci_name_slot *slot;

    if (!names->n_slots)
        return FCI_NO_NAME;
    slot = slot_for(names, name, hash_of(name));
    return slot->name ? slot->value : FCI_NO_NAME;
}

void
fci_names_free(struct fci_names *names)
{
    free(names->slots);
    *names = (struct fci_names){ 0 };
}

static size_t
least(size_t a, size_t b)
{
    return a < b ? a : b;
}

static size_t
most(size_t a, size_t b)
{
    return a > b ? a : b;
}

/* The slips of [D64] that turn a into b, no letter being touched twice.  Where
 * they are more than `limit`, anything above it.  rows[i % 3][j] is the answer
 * for the first i letters of a and j of b. */
static size_t
distance_between(const char *a, size_t n_a, const char *b, size_t n_b,
                 size_t limit)
{
    unsigned char rows[3][LONGEST_WORD + 1];
    size_t i, j;

    for (j = 0; j <= n_b; j++)
        rows[0][j] = (unsigned char)j;
    for (i = 1; i <= n_a; i++) {
        unsigned char *row = rows[i % 3];
        const unsigned char *above = rows[(i + 2) % 3];
        const unsigned char *two_above = rows[(i + 1) % 3];
        size_t smallest = i;

        row[0] = (unsigned char)i;
        for (j = 1; j <= n_b; j++) {
            const bool same = lower(a[i - 1]) == lower(b[j - 1]);
            size_t d = least(above[j] + 1u, row[j - 1] + 1u);

            d = least(d, above[j - 1] + (same ? 0u : 1u));
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2])
                && lower(a[i - 2]) == lower(b[j - 1]))
                d = least(d, two_above[j - 2] + 1u);
            row[j] = (unsigned char)d;
            smallest = least(smallest, d);
        }
        /* Rows grow by one at most, so not even a swap, which reaches over
         * one, comes back below the limit. */
        if (smallest > limit)
            return smallest;
    }
    return rows[n_a % 3][n_b];
}

/* ---- Words of a name --------------------------------------------------- */

struct token {
    const char *text;
    size_t n;
};

static bool
parts_tokens(char c)
{
    return strchr(" ,-_/()", c) != NULL; /* the end of the text too */
}

/* The next one of a text, which is moved behind it; none is empty, so n is 0
 * at the end. */
static struct token
next_token(const char **text)
{
    struct token token;

    while (**text && parts_tokens(**text))
        ++*text;
    token = (struct token){ *text, 0 };
    while (!parts_tokens(**text)) {
        ++*text;
        token.n++;
    }
    return token;
}

/* Zeros at the end of a decimal number say nothing. */
static struct token
plain_token(struct token token)
{
    if (!memchr(token.text, '.', token.n)
        || strspn(token.text, "0123456789.") < token.n)
        return token;
    while (token.text[token.n - 1] == '0')
        token.n--;
    token.n -= token.text[token.n - 1] == '.';
    return token;
}

static bool
same_token(struct token a, struct token b)
{
    size_t i;

    a = plain_token(a);
    b = plain_token(b);
    if (a.n != b.n)
        return false;
    for (i = 0; i < a.n; i++)
        if (lower(a.text[i]) != lower(b.text[i]))
            return false;
    return true;
}

static bool
has_digit(struct token token)
{
    size_t i;

    for (i = 0; i < token.n; i++)
        if (token.text[i] >= '0' && token.text[i] <= '9')
            return true;
    return false;
}

/* Two slips in a short word of a name leave it only where it begins alike and
 * half of it is left: "reg" is none for "rpz", nor is "water" for "meter". */
static size_t
short_limit(struct token a, struct token b)
{
    const bool alike = lower(a.text[0]) == lower(b.text[0]);

    return alike && most(a.n, b.n) >= 4 ? 2 : 1;
}

/* How far a word of a name may be from what was meant: a number is no slip for
 * another one, nor is a letter or two for another.  Of a term more must be
 * left: "gold" is none for "galv". */
static size_t
token_distance(struct token a, struct token b, size_t limit, bool term)
{
    const size_t longer = most(a.n, b.n);
    size_t distance;

    if (has_digit(a) || has_digit(b) || longer < 2
        || (term && (longer < 3 || least(a.n, b.n) < 2)))
        return limit + 1;
    distance = distance_between(a.text, a.n, b.text, b.n, limit);
    if (term)
        limit = least(limit, longer <= 4 ? 1 : 2);
    else if (longer <= 5)
        limit = least(limit, short_limit(a, b));
    else
        limit = least(limit, most(2, least(a.n, b.n) / 3));
    return distance < longer && distance <= limit ? distance : LONGEST_WORD;
}

static void
note_known(struct fci_nearest *nearest, struct token token)
{
    const char *word = nearest->word;
    struct token mine;
    unsigned bit;

    for (bit = 1; (mine = next_token(&word)).n > 0; bit <<= 1)
        if (same_token(mine, token))
            nearest->known |= bit;
}

/* Whether a letter at the end of a word may have been the next word: "classI
 * I" is as near to "class II" as to "class I". */
static bool
ends_in_next(struct token word, const char *rest)
{
    const struct token next = next_token(&rest);

    return next.n == 1 && lower(next.text[0]) == lower(word.text[word.n - 1]);
}

/* The slips in all words of a name, and which they are in; a blank more or
 * less is none. */
static size_t
name_distance(const char *word, const char *candidate, size_t limit, bool term,
              unsigned *changed)
{
    char closed[2][LONGEST_WORD + 1];
    const char *texts[2] = { word, candidate };
    struct token a, b;
    size_t distance = 0, i, n;
    bool may_close = true; /* not where a letter or a number parts two */
    unsigned bit;

    *changed = 0;
    for (i = 0; i < 2; i++) {
        const char *rest = texts[i];

        for (n = 0; (a = next_token(&rest)).n > 0; n += a.n) {
            memcpy(closed[i] + n, a.text, a.n);
            may_close &= a.n > 2 && !has_digit(a);
        }
        closed[i][n] = '\0';
    }
    if (may_close && *closed[0] && fci_same_name(closed[0], closed[1]))
        return 0;
    for (bit = 1; distance <= limit; bit <<= 1) {
        a = next_token(&word);
        b = next_token(&candidate);
        if (a.n == 0 || b.n == 0)
            return a.n == b.n ? distance : limit + 1;
        if (same_token(a, b))
            continue;
        if (term && a.n > b.n && ends_in_next(a, candidate))
            return limit + 1;
        *changed |= bit;
        distance += token_distance(a, b, limit, term);
    }
    return distance;
}

/* ---- The nearest name -------------------------------------------------- */

struct fci_nearest
fci_nearest_to(const char *word)
{
    return (struct fci_nearest){ .word = word, .distance = SIZE_MAX };
}

void
fci_nearest_try_for(struct fci_nearest *nearest, const char *candidate,
                    const char *means)
{
    const size_t n_word = strlen(nearest->word), n = strlen(candidate);
    const size_t limit = least(nearest->distance, most(2, n_word / 3));
    const char *rest = candidate;
    struct token token;
    unsigned changed;
    size_t distance;

    if (n_word > LONGEST_WORD || n > LONGEST_WORD || n_word == 0)
        return;
    while ((token = next_token(&rest)).n > 0)
        note_known(nearest, token);
    if (n > n_word + limit + LONGEST_WORD / 8
        || n_word > n + limit + LONGEST_WORD / 8)
        return;
    distance = name_distance(nearest->word, candidate, limit, nearest->term,
                             &changed);
    if (distance > limit)
        return;
    if (distance == nearest->distance) {
        nearest->tie |= !fci_same_name(means, nearest->best);
        return;
    }
    nearest->best = means;
    nearest->distance = distance;
    nearest->changed = changed;
    nearest->tie = false;
}

void
fci_nearest_try(struct fci_nearest *nearest, const char *candidate)
{
    fci_nearest_try_for(nearest, candidate, candidate);
}

void
fci_nearest_try_names(struct fci_nearest *nearest,
                      const struct fci_names *names)
{
    size_t i;

    for (i = 0; i < names->n_slots; i++)
        if (names->slots[i].name)
            fci_nearest_try(nearest, names->slots[i].name);
}

const char *
fci_nearest_word(const struct fci_nearest *nearest)
{
    return nearest->tie || (nearest->changed & nearest->known) ? NULL
                                                               : nearest->best;
}
