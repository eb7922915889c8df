/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/stretch.c -- several causes in words: those on elements one
 * behind the other are one stretch, and outlets that may run on one list.
 */
#include "diagnose/fault_kinds.h"
#include "diagnose/words.h"
#include "units/units.h"
#include "ground/ties.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define MOST_NAMED 5    /* places */
#define MOST_PARTNERS 4 /* of one fault, in pairs */
#define LIGHT 0.1       /* of the heaviest: counted, and not named */
#define HARDLY 0.05     /* of all: those are not counted either */

/* ---- Where causes are -------------------------------------------------- */

/* What may be the matter with an element is a set: bit n stands for the n-th
 * of these words.  Those of a stretch are told without their figures. */
#define OTHER                                                                 \
    (UINT64_C(1) << 63) /* told with its figure, and in the set for           \
                           its place alone */

/* There are fewer than 31 kinds. */
static const char *
matter_word(size_t n)
{
    return fci_fault_kinds[n / 2]->along[n % 2];
}

static uint64_t
matter_of(const struct fci_cause *cause)
{
    const char *word = cause->fault[0]->kind->along[!(cause->x[0] > 0)];
    size_t n;

    for (n = 0; word && fci_fault_kinds[n / 2]; n++)
        if (matter_word(n) && strcmp(matter_word(n), word) == 0)
            return UINT64_C(1) << n;
    return OTHER;
}

/* On one element, or on a run of them. */
static bool
is_located(const struct fci_cause *cause)
{
    const struct fci_fault *fault = cause->fault[0];

    return cause->n_faults == 1 && fault->fixture == FCI_NONE && !fault->all
           && !fault->outlets && !fci_doubts(fault);
}

static bool
is_on_stretch(const struct fci_cause *cause)
{
    return is_located(cause) && matter_of(cause) != OTHER;
}

bool
fci_runs_on(const struct fci_cause *cause)
{
    return cause->n_faults == 1 && cause->fault[0]->outlets;
}

struct stretches {
    struct fci_arena arena;
    const struct fci_readings *readings;
    uint64_t *matter; /* by element */
    /* By element: of the causes that begin there the blockage, the first, how
     * many they are and what they weigh. */
    const struct fci_cause **loses, **first;
    size_t *begin;
    double *weight;
    size_t *child, *children; /* that have a matter too */
    size_t tops;
    bool branches;
};

static void
join_stretches(struct stretches *s, const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t parent = site->elements[i].parent;

        if (!s->matter[i])
            continue;
        if (parent == FCI_NONE || !s->matter[parent]) {
            s->tops++;
            continue;
        }
        s->child[parent] = i;
        s->branches |= ++s->children[parent] > 1;
    }
}

/* Those that `belongs` lets pass. */
static bool
make_stretches(struct stretches *s, const struct fci_readings *r,
               const struct fci_cause *causes, const bool *picked, size_t n,
               bool (*belongs)(const struct fci_cause *cause))
{
    const fc_site *site = r->site;
    size_t i, at;

    s->readings = r;
    s->loses = fci_arena_array(&s->arena, site->n_elements, sizeof *s->loses);
    s->first = fci_arena_array(&s->arena, site->n_elements, sizeof *s->first);
    s->begin = fci_arena_array(&s->arena, site->n_elements, sizeof *s->begin);
    s->weight =
        fci_arena_array(&s->arena, site->n_elements, sizeof *s->weight);
    s->matter =
        fci_arena_array(&s->arena, site->n_elements, sizeof *s->matter);
    s->child = fci_arena_array(&s->arena, site->n_elements, sizeof *s->child);
    s->children =
        fci_arena_array(&s->arena, site->n_elements, sizeof *s->children);
    if (s->arena.failed)
        return false;
    for (i = 0; i < n; i++) {
        const struct fci_fault *fault = causes[i].fault[0];

        if (!picked[i] || !belongs(&causes[i]))
            continue;
        for (at = fault->last; at != fault->element;
             at = site->elements[at].parent)
            s->matter[at] |= matter_of(&causes[i]);
        s->matter[at] |= matter_of(&causes[i]);
        if (fault->flow > 0 && fault->kind->is_loss && !s->loses[at])
            s->loses[at] = &causes[i];
        if (s->begin[at]++ == 0)
            s->first[at] = &causes[i];
        s->weight[at] += causes[i].weight;
    }
    join_stretches(s, site);
    return true;
}

/* ---- Stretches --------------------------------------------------------- */

static const char *
matter_words(struct fci_arena *arena, uint64_t matter)
{
    struct fci_words w = { arena, "", 0 };
    size_t i;

    for (i = 0; fci_fault_kinds[i / 2]; i++)
        if (matter >> i & 1)
            fci_say(&w, matter >> i > 1 ? ", " : " or ", "%s", matter_word(i));
    return w.text;
}

/* ---- Places, the likeliest first --------------------------------------- */

/* Room for one by cause. */
struct places {
    struct fci_arena *arena;
    const struct fci_readings *readings;
    const struct fci_cause *causes;
    const bool *picked;
    size_t n_causes;
    struct fci_place *list;
    size_t n;
    size_t *of; /* by cause: the number of its place, as they are added */
    bool failed;
};

/* A cause is of the place that is added next. */
static void
take(struct places *p, size_t cause)
{
    p->of[cause] = p->n;
}

static void
add_place(struct places *p, const char *text, double weight)
{
    const size_t number = p->n++;
    size_t i = number;

    p->failed |= !text;
    for (; i > 0 && fci_is_less(p->list[i - 1].weight, weight); i--)
        p->list[i] = p->list[i - 1];
    p->list[i] = (struct fci_place){ text, weight, number };
}

/* "A; or B; and 3 less likely" */
static const char *
places_words(const struct places *p)
{
    struct fci_words w = { p->arena, "", 0 };
    double all = 0, left = 0;
    size_t i, k;

    for (i = 0; i < p->n && i < MOST_NAMED
                && p->list[i].weight >= LIGHT * p->list[0].weight;
         i++)
        fci_join(&w, "; or ", p->list[i].text);
    for (k = 0; k < p->n; k++) {
        all += p->list[k].weight;
        left += k < i ? 0 : p->list[k].weight;
    }
    if (left > HARDLY * all)
        fci_say(&w, "; ", "and %zu less likely", p->n - i);
    return p->failed ? NULL : w.text;
}

/* ---- Stretches as places ----------------------------------------------- */

static bool
is_one_word(uint64_t matter)
{
    return (matter & (matter - 1)) == 0;
}

/* Of one element: by how much, if it is plugged. */
static const char *
element_words(struct fci_arena *arena, const struct stretches *s, size_t at,
              const char *what)
{
    const fc_site *site = s->readings->site;
    const bool source = site->elements[at].parent == FCI_NONE;
    const char *part = fci_part_words(arena, site->elements[at].part);
    const char *inlet = s->loses[at] ? fci_inlet_words(arena, site, at) : "";
    struct fci_words w = { arena, "", 0 };
    fc_fault told;

    if (!part || !inlet)
        return NULL;
    if (source)
        fci_say(&w, "", "main or curb stop at %s partly closed", part);
    else
        fci_say(&w, "", "%s%s %s", part, inlet, what);
    if (!s->loses[at])
        return w.text;
    told = fci_fault_told(s->readings, s->loses[at], 0);
    fci_join(&w, ": ",
             fci_lost_words(arena, s->readings, at,
                            told.at_limit ? "or more " : "more ", told.value,
                            told.flow));
    return w.text;
}

/* Those that begin at an element. */
static void
take_at(struct places *p, size_t element)
{
    size_t i;

    for (i = 0; i < p->n_causes; i++)
        if (p->picked[i] && is_on_stretch(&p->causes[i])
            && p->causes[i].fault[0]->element == element)
            take(p, i);
}

/* From `top` down as far as it does not branch. */
static void
add_stretch(struct places *p, const struct stretches *s, size_t top)
{
    const fc_site *site = s->readings->site;
    const size_t from = site->elements[top].parent;
    const struct fci_cause *first = s->first[top];
    uint64_t matter = s->matter[top];
    size_t end = top, n = s->begin[top];
    double weight = s->weight[top];
    const char *what;

    take_at(p, top);
    while (s->children[end] == 1) {
        end = s->child[end];
        take_at(p, end);
        matter |= s->matter[end];
        first = first ? first : s->first[end];
        n += s->begin[end];
        weight += s->weight[end];
    }
    what = matter_words(p->arena, matter & ~OTHER);
    if (!what)
        p->failed = true;
    else if (n == 1 || (end == top && is_one_word(matter)))
        add_place(p, fci_cause_words(p->arena, p->readings, first), weight);
    else if (end == top)
        add_place(p, element_words(p->arena, s, top, what), weight);
    else if (from == FCI_NONE)
        add_place(p,
                  fci_arena_printf(p->arena,
                                   "%s from %s, its curb stop included, to %s",
                                   what, site->elements[top].name,
                                   site->elements[end].name),
                  weight);
    else
        add_place(p,
                  fci_arena_printf(p->arena, "%s between %s and %s", what,
                                   site->elements[from].name,
                                   site->elements[end].name),
                  weight);
}

static void
add_stretches(struct places *p, const struct stretches *s)
{
    const fc_site *site = s->readings->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const size_t parent = site->elements[at].parent;

        if (s->matter[at]
            && (parent == FCI_NONE || !s->matter[parent]
                || s->children[parent] > 1))
            add_stretch(p, s, at);
    }
}

/* ---- Outlets that won't shut off --------------------------------------- */

/* One of them, and it is not known which: where each leaves. */
static void
add_running(struct places *p)
{
    const fc_site *site = p->readings->site;
    struct fci_words where = { p->arena, "", 0 };
    double low = INFINITY, high = 0, weight = 0;
    const char *flows;
    size_t i, more = 0;

    for (i = 0; i < p->n_causes; i++) {
        const struct fci_fault *fault = p->causes[i].fault[0];
        double flow;

        if (!p->picked[i] || !fci_runs_on(&p->causes[i]))
            continue;
        take(p, i);
        flow = p->causes[i].x[0] * fault->scale;
        low = fmin(low, flow);
        high = fmax(high, flow);
        weight += p->causes[i].weight;
        if (where.n >= MOST_NAMED)
            more++;
        else
            fci_say(&where, ", ", "%s", site->elements[fault->element].name);
    }
    if (more > 0)
        fci_say(&where, " ", "and %zu less likely", more);
    flows = fci_span_words(p->arena, site, FC_FLOW, low, high);
    add_place(p,
              flows && where.text ? fci_arena_printf(
                  p->arena,
                  "a valve that won't shut off, or a leak, about %s, "
                  "downstream of one of %s",
                  flows, where.text)
                                  : NULL,
              weight);
}

/* ---- Pairs ------------------------------------------------------------- */

static bool
has_fault(const struct fci_cause *cause, const struct fci_fault *fault)
{
    return cause->n_faults > 1
           && (cause->fault[0] == fault || cause->fault[1] == fault);
}

/* How much the pairs that are left weigh that have this fault. */
static double
weight_with(const struct places *p, const bool *left,
            const struct fci_fault *fault)
{
    double sum = 0;
    size_t i;

    for (i = 0; i < p->n_causes; i++)
        if (left[i] && has_fault(&p->causes[i], fault))
            sum += p->causes[i].weight;
    return sum;
}

/* The fault that most of the weight has in it. */
static const struct fci_fault *
find_common(const struct places *p, const bool *left, double *most)
{
    const struct fci_fault *common = NULL;
    size_t i, k;

    *most = 0;
    for (i = 0; i < p->n_causes; i++)
        for (k = 0; k < 2 && left[i]; k++) {
            const struct fci_fault *fault = p->causes[i].fault[k];
            const double weight = weight_with(p, left, fault);

            if (common && !fci_is_less(*most, weight))
                continue;
            *most = weight;
            common = fault;
        }
    return common;
}

/* "the control stop of wc-3 partly closed; 2 one of: meter m partly plugged,
 * pipe p scaled"; the figures of each are told pair by pair. */
static const char *
common_words(struct places *p, bool *left, const struct fci_fault *common)
{
    struct fci_words partners = { p->arena, "", 0 };
    const struct fci_cause *pair = NULL;
    size_t i, n = 0;
    const char *name;

    for (i = 0; i < p->n_causes; i++) {
        const struct fci_cause *cause = &p->causes[i];
        const char *words;

        if (!left[i] || !has_fault(cause, common))
            continue;
        left[i] = false;
        take(p, i);
        pair = pair ? pair : cause;
        words = fci_fault_words(p->arena, p->readings, cause,
                                cause->fault[0] == common ? 1 : 0, true);
        if (words && partners.text && strstr(partners.text, words))
            continue; /* the same place */
        if (n++ < MOST_PARTNERS)
            fci_join(&partners, ", ", words);
    }
    if (n == 1)
        return fci_cause_words(p->arena, p->readings, pair);
    if (n > MOST_PARTNERS)
        fci_say(&partners, " ", "and %zu less likely", n - MOST_PARTNERS);
    if (!pair)
        return NULL;
    name = fci_fault_words(p->arena, p->readings, pair,
                           pair->fault[0] == common ? 0 : 1, true);
    return partners.text && name
               ? fci_arena_printf(p->arena, "%s1 %s; 2 one of: %s",
                                  fci_two_faults, name, partners.text)
               : NULL;
}

static void
add_pairs(struct places *p)
{
    bool *left = fci_arena_array(p->arena, p->n_causes + 1, sizeof *left);
    const struct fci_fault *common;
    double weight;
    size_t i;

    p->failed |= !left;
    for (i = 0; left && i < p->n_causes; i++)
        left[i] = p->picked[i] && p->causes[i].n_faults > 1;
    while (left && (common = find_common(p, left, &weight)))
        add_place(p, common_words(p, left, common), weight);
}

/* ---- Several ----------------------------------------------------------- */

/* Of the same fixture, device or pipe. */
static bool
at_one_spot(const struct fci_cause *x, const struct fci_cause *y)
{
    const struct fci_fault *a = x->fault[0], *b = y->fault[0];

    return a->element == b->element && a->last == b->last
           && a->fixture == b->fixture && a->all == b->all
           && a->shared == b->shared && !a->outlets == !b->outlets
           && !fci_doubts(a) && !fci_doubts(b);
}

/* Single ones that are on no stretch, those of one place together. */
static void
add_others(struct places *p, bool running)
{
    bool *told = fci_arena_array(p->arena, p->n_causes + 1, sizeof *told);
    size_t i, k;

    p->failed |= !told;
    for (i = 0; told && i < p->n_causes; i++)
        told[i] = !p->picked[i] || p->causes[i].n_faults != 1
                  || is_on_stretch(&p->causes[i])
                  || (running && fci_runs_on(&p->causes[i]));
    for (i = 0; told && i < p->n_causes; i++) {
        struct fci_words w = { p->arena, "", 0 };
        double weight = p->causes[i].weight;
        const char *words;

        if (told[i])
            continue;
        take(p, i);
        fci_join(&w, "",
                 fci_cause_words(p->arena, p->readings, &p->causes[i]));
        for (k = i + 1; k < p->n_causes; k++) {
            if (told[k] || !at_one_spot(&p->causes[i], &p->causes[k]))
                continue;
            told[k] = true;
            take(p, k);
            weight += p->causes[k].weight;
            words =
                fci_fault_words(p->arena, p->readings, &p->causes[k], 0, true);
            if (!words || !w.text || !strstr(w.text, words))
                fci_join(&w, ", or ", words);
        }
        add_place(p, w.text, weight);
    }
}

static void
add_sound(struct places *p)
{
    size_t i;

    for (i = 0; i < p->n_causes; i++)
        if (p->picked[i] && p->causes[i].n_faults == 0) {
            take(p, i);
            add_place(p, fci_nothing_amiss, p->causes[i].weight);
        }
}

struct tally {
    size_t all, located, running, at_first_fixture;
    size_t first, last; /* causes */
};

static struct tally
count(const struct fci_cause *causes, const bool *picked, size_t n)
{
    struct tally t = { .first = FCI_NONE };
    size_t i;

    for (i = 0; i < n; i++) {
        const struct fci_fault *fault = causes[i].fault[0];

        if (!picked[i])
            continue;
        if (t.first == FCI_NONE)
            t.first = i;
        t.last = i;
        t.all++;
        t.located += is_located(&causes[i]);
        t.running += fci_runs_on(&causes[i]);
        t.at_first_fixture +=
            causes[i].n_faults == 1 && causes[t.first].n_faults == 1
            && fault->fixture != FCI_NONE && !fci_doubts(fault)
            && !fault->shared
            && fault->fixture == causes[t.first].fault[0]->fixture;
    }
    return t;
}

/* Whether all that was counted is one element, stretch or fixture. */
static bool
is_one(const struct fci_readings *r, const struct fci_cause *causes,
       const bool *picked, size_t n, const struct tally *t, bool *single)
{
    struct stretches s = { 0 };
    const bool running = t->running == t->all;
    const bool room = make_stretches(&s, r, causes, picked, n,
                                     running ? fci_runs_on : is_located);

    *single = t->all == 1 || t->at_first_fixture == t->all
              || (room && (running || t->located == t->all) && s.tops == 1
                  && !s.branches);
    fci_arena_free(&s.arena);
    return room;
}

/* Their room is made here; false: out of memory. */
static bool
find_places(struct places *p)
{
    const struct fci_readings *r = p->readings;
    const struct tally t = count(p->causes, p->picked, p->n_causes);
    struct stretches s = { 0 };

    p->list = fci_arena_array(p->arena, r->site->n_elements + p->n_causes + 1,
                              sizeof *p->list);
    p->of = fci_arena_array(p->arena, p->n_causes + 1, sizeof *p->of);
    if (!p->list || !p->of)
        return false;
    if (t.all == 1) {
        take(p, t.last);
        add_place(p, fci_cause_words(p->arena, r, &p->causes[t.last]),
                  p->causes[t.last].weight);
        return !p->failed;
    }
    if (make_stretches(&s, r, p->causes, p->picked, p->n_causes,
                       is_on_stretch))
        add_stretches(p, &s);
    else
        p->failed = true;
    fci_arena_free(&s.arena);
    if (t.running > 1)
        add_running(p);
    add_pairs(p);
    add_others(p, t.running > 1);
    add_sound(p);
    return !p->failed;
}

const char *
fci_causes_words(struct fci_arena *arena, const struct fci_readings *r,
                 const struct fci_cause *causes, const bool *picked, size_t n,
                 bool *single)
{
    struct places p = { .arena = arena,
                        .readings = r,
                        .causes = causes,
                        .picked = picked,
                        .n_causes = n };
    const struct tally t = count(causes, picked, n);

    return is_one(r, causes, picked, n, &t, single) && find_places(&p)
               ? places_words(&p)
               : NULL;
}

struct fci_place *
fci_causes_places(struct fci_arena *arena, const struct fci_readings *r,
                  const struct fci_cause *causes, const bool *picked, size_t n,
                  size_t *n_places, bool *first)
{
    struct places p = { .arena = arena,
                        .readings = r,
                        .causes = causes,
                        .picked = picked,
                        .n_causes = n };
    size_t i;

    if (!find_places(&p))
        return NULL;
    *n_places = p.n;
    for (i = 0; i < n; i++)
        first[i] = picked[i] && p.of[i] == p.list[0].number;
    return p.list;
}
