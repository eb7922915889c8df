/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_fold.c -- pipes alike as one row, for one screen.
 *
 * Pipes are alike that have one size, and names that differ by their last
 * number alone, as those of floors do.
 */
#include "report/size_report.h"
#include "ground/stem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_DIGITS 8 /* what has more is no floor's number */

/* "3", but not "03". */
static bool
is_counted(const char *name, struct fci_stem stem)
{
    return stem.digits > 0 && stem.digits <= MOST_DIGITS
           && (name[stem.before] != '0' || stem.digits == 1);
}

static long
number_of(const char *name)
{
    const struct fci_stem stem = fci_stem_of(name);

    return is_counted(name, stem) ? strtol(name + stem.before, NULL, 10) : 0;
}

/* Whether two names differ in their last number alone, as it is counted. */
static bool
same_stem(const char *a, const char *b)
{
    const struct fci_stem s = fci_stem_of(a), t = fci_stem_of(b);

    return is_counted(a, s) && is_counted(b, t) && s.before == t.before
           && strncmp(a, b, s.before) == 0 && strcmp(s.behind, t.behind) == 0;
}

static bool
same_text(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

static bool
are_alike(const fc_sized_pipe *a, const fc_sized_pipe *b)
{
    return same_text(a->size, b->size)
           && same_text(a->uniform_size, b->uniform_size)
           && same_stem(a->name, b->name);
}

/* Pipes told as one, while they are gathered. */
struct fold {
    fc_sized_pipe told;
    const char *first; /* the name of the lowest number */
    long low, high;
    size_t n;
};

static void
take(struct fold *fold, const fc_sized_pipe *p)
{
    const long number = number_of(p->name);

    if (fold->n++ == 0) {
        fold->told = *p;
        fold->first = p->name;
        fold->low = fold->high = number;
        return;
    }
    fold->told.length += p->length;
    fold->told.cost += p->cost;
    fold->told.uniform_cost += p->uniform_cost;
    fold->told.peak_flow = fmax(fold->told.peak_flow, p->peak_flow);
    fold->told.velocity = fmax(fold->told.velocity, p->velocity);
    fold->told.friction_loss =
        fmax(fold->told.friction_loss, p->friction_loss);
    if (number < fold->low) {
        fold->first = p->name;
        fold->low = number;
    }
    if (number > fold->high)
        fold->high = number;
}

/* "east-1", "east-1 to 6", "east-1 and 3 more"; NULL: out of memory */
static const char *
name_of(struct fci_arena *arena, const struct fold *fold)
{
    if (fold->n == 1)
        return fold->first;
    if (fold->high - fold->low + 1 == (long)fold->n
        && !*fci_stem_of(fold->first).behind)
        return fci_arena_printf(arena, "%s to %ld", fold->first, fold->high);
    return fci_arena_printf(arena, "%s and %zu more", fold->first,
                            fold->n - 1);
}

/* The last ones as one row without a size. */
static size_t
cut(struct fci_arena *arena, struct fold *folds, size_t n, size_t most)
{
    struct fold *rest = &folds[most - 1];
    size_t pipes = rest->n;

    for (size_t i = most; i < n; i++) {
        take(rest, &folds[i].told);
        pipes += folds[i].n;
    }
    rest->told.size = rest->told.uniform_size = NULL;
    rest->first = fci_arena_printf(arena, "%zu other pipes", pipes);
    rest->n = 1; /* so named */
    return most;
}

void
fci_size_folded(struct fci_doc *doc, const fc_size_result *result, size_t most)
{
    const size_t all = result->n_pipes;
    struct fold *folds = fci_arena_array(&doc->arena, all + 1, sizeof *folds);
    fc_sized_pipe *told = fci_arena_array(&doc->arena, all + 1, sizeof *told);
    size_t n = 0;

    if (!folds || !told)
        return; /* the arena has failed, and so the document */
    for (size_t i = 0; i < all; i++) {
        size_t at = 0;

        while (at < n && !are_alike(&folds[at].told, &result->pipes[i]))
            at++;
        n += at == n;
        take(&folds[at], &result->pipes[i]);
    }
    if (n > most)
        n = cut(&doc->arena, folds, n, most);
    for (size_t i = 0; i < n; i++) {
        told[i] = folds[i].told;
        told[i].name = name_of(&doc->arena, &folds[i]);
        if (!told[i].name)
            return;
    }
    fci_size_pipes(doc, result, told, n, false);
    if (n < all)
        fci_doc_say(doc, "Rows of several pipes: length and cost are totals, "
                         "the rest is the highest.");
}
