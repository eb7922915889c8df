/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/repeating_towers.c -- see generators/repeating_towers.h. */
#include "generators/repeating_towers.h"
#include "generators/open_valves.h"
#include "generators/sites.h"

#include <stdarg.h>

void
append(struct text *text, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    text->n += (size_t)vsnprintf(text->of + text->n, sizeof text->of - text->n,
                                 format, args);
    va_end(args);
    ck_assert_uint_lt(text->n, sizeof text->of);
}

/* What is at a place: a pipe, or none of its own, and valves. */
struct branch {
    int size, length, rise; /* size below 0: no pipe */
    int tail;               /* length of a pipe to the second; below 0: none */
    int valves;             /* fixtures on it */
    int count[2], kind[2], stands[2];
};

static const char *const sizes[] = { "3/4", "1", "1-1/4" };
/* Ranges about other figures of the list, from half to half as much again: so
 * only their ends differ, to the last digit. */
static const char *const lengths[] = { "4", "8", "4..12", "30" };
static const char *const rises[] = { "0", "4", "-3", "2..6" };
static const char *const stands[] = { "0", "2", "0..4" };

/* Bits of a kind: it asks for more, it draws more, both about that. */
#define KINDS 8

static int
one_of(gsl_rng *rng, int n)
{
    return (int)gsl_rng_uniform_int(rng, (unsigned long)n);
}

static struct branch
branch_of(gsl_rng *rng, int valves)
{
    struct branch b = { .size = one_of(rng, 4) - 1, .valves = valves };
    int i;

    b.length = one_of(rng, COUNT(lengths));
    b.tail = one_of(rng, COUNT(lengths) + 1) - 1;
    b.rise = one_of(rng, COUNT(rises));
    for (i = 0; i < 2; i++) {
        b.count[i] = 1 + one_of(rng, 2);
        b.kind[i] = one_of(rng, KINDS);
        b.stands[i] = one_of(rng, 4) ? 0 : one_of(rng, COUNT(stands));
    }
    return b;
}

/* The same but for one thing. */
static void
change(struct branch *b, gsl_rng *rng)
{
    switch (one_of(rng, 6)) {
    case 0:
        b->length = one_of(rng, COUNT(lengths));
        break;
    case 1:
        b->rise = one_of(rng, COUNT(rises));
        break;
    case 2:
        b->count[0] = 3 - b->count[0];
        break;
    case 3:
        b->kind[one_of(rng, 2)] ^= 1 << one_of(rng, 3);
        break;
    case 4:
        b->tail = one_of(rng, COUNT(lengths));
        break;
    default:
        b->stands[0] = one_of(rng, COUNT(stands));
        break;
    }
}

static void
put_kinds(struct text *text)
{
    int i;

    for (i = 0; i < KINDS; i++) {
        const int least = i & 1 ? 24 : 16, flow = i & 2 ? 32 : 24;
        const int of = i & 4 ? 2 : 0; /* quarters off */

        append(text,
               "[valve v%d]\nminimum flowing = %d..%d psi\n"
               "flow = %d..%d gpm at 20 psi\n",
               i, least - least * of / 4, least + least * of / 4,
               flow - flow * of / 4, flow + flow * of / 4);
    }
}

static const char prv[] =
    "[reducer %s]\nfrom = %s\nset = 30 psi\nfall-off = 3 psi at 40 gpm\n"
    "loss = 2 psi at 40 gpm\n";
static const char pump[] =
    "[pump %s]\nfrom = %s\n"
    "curve = 0 gpm 50 ft, 60 gpm 40 ft, 150 gpm 15 ft\n";

static void
put_branch(struct text *text, const struct branch *b, const char *on, int *n)
{
    char at[32];
    int i;

    snprintf(at, sizeof at, "%s", on);
    if (b->size >= 0) {
        snprintf(at, sizeof at, "branch-%d", *n);
        append(text,
               "[pipe %s]\nfrom = %s\nsize = %s in\nlength = %s ft\n"
               "rise = %s ft\nfittings = none\n",
               at, on, sizes[b->size], lengths[b->length], rises[b->rise]);
    }
    for (i = 0; i < b->valves; i++) {
        if (i == 1 && b->tail >= 0) {
            append(text,
                   "[pipe tail-%d]\nfrom = %s\nsize = 1 in\n"
                   "length = %s ft\nrise = 0 ft\nfittings = none\n",
                   *n, at, lengths[b->tail]);
            snprintf(at, sizeof at, "tail-%d", *n);
        }
        append(text,
               "[fixture f%d]\non = %s\nkind = water closet, flush valve\n"
               "count = %d\nrise = %s ft\nexisting = v%d\n",
               ++*n, at, b->count[i], stands[b->stands[i]], b->kind[i]);
    }
    ++*n;
}

fc_site *
repeating_tower(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct text text = { .n = 0 };
    struct branch kinds[2], riser;
    int left = 6, n = 0, place, i;
    char at[32] = "main";

    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed + 7000000);
    append(&text,
           "[site]\nmaterial = copper L\ncondition = new\n[source main]\n"
           "kind = fixed\npressure = %d%s psi\n"
           "[device meter]\nfrom = main\nloss = 4 psi at 60 gpm\n",
           30 + one_of(rng, 50), one_of(rng, 2) ? "" : "..90");
    put_kinds(&text);
    snprintf(at, sizeof at, "meter");
    for (i = 0; i < 2; i++)
        kinds[i] = branch_of(rng, 1 + one_of(rng, 2));
    riser = branch_of(rng, 0);
    riser.size = 1 + one_of(rng, 2);
    for (place = 0; left > 0; place++) {
        char next[32];
        const int device = one_of(rng, 10);

        if (one_of(rng, 5) == 0)
            change(&riser, rng);
        snprintf(next, sizeof next, "riser-%d", place);
        append(&text,
               "[pipe %s]\nfrom = %s\nsize = %s in\nlength = %s ft\n"
               "rise = %s ft\nfittings = none\n",
               next, at, sizes[riser.size], lengths[riser.length],
               rises[riser.rise]);
        snprintf(at, sizeof at, "%s", next);
        if (device < 2) {
            snprintf(at, sizeof at, "device-%d", place);
            append(&text, device ? pump : prv, at, next);
        }
        for (i = 1 + one_of(rng, 3); i > 0 && left > 0; i--) {
            struct branch b = kinds[one_of(rng, 4) == 0];

            if (one_of(rng, 5) == 0)
                change(&b, rng);
            b.valves = b.valves < left ? b.valves : left;
            left -= b.valves;
            put_branch(&text, &b, at, &n);
        }
    }
    gsl_rng_free(rng);
    return site_of(text.of);
}
