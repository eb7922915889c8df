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

#define MOST_NAMED 6 /* causes */
#define MOST_PARTNERS 4
#define LIGHT 0.1 /* of the heaviest: not told by name beside it */

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
    uint64_t *matter;               /* by element */
    const struct fci_cause **loses; /* by element: the blockage of it */
    size_t *child, *children;       /* that have one too */
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
        if (fault->flow > 0 && fault->kind->is_loss)
            s->loses[at] = &causes[i];
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

/* Of one element: by how much, if it is blocked. */
static void
say_element(struct fci_words *w, const struct stretches *s, size_t at,
            const char *what)
{
    const fc_site *site = s->readings->site;
    const fc_unit_system units = site->settings.units;
    const bool source = site->elements[at].parent == FCI_NONE;
    const char *inlet =
        s->loses[at] ? fci_inlet_words(w->arena, site, at) : "";
    fc_fault told;

    fci_say(w, "; or ", "%s %s%s %s", fci_kind_word(site, at),
            site->elements[at].name, inlet ? inlet : "",
            source ? "or its main choked" : what);
    if (!inlet)
        w->text = NULL;
    if (!s->loses[at])
        return;
    told = fci_fault_told(s->readings, s->loses[at], 0);
    fci_say(w, ": ", "it loses %s%s more at %s",
            told.at_limit ? "at least " : "",
            fci_show(units, FC_PRESSURE, told.value).text,
            fci_show(units, FC_FLOW, told.flow).text);
}

/* From `top` down as far as it does not branch. */
static void
say_stretch(struct fci_words *w, const struct stretches *s, size_t top)
{
    const fc_site *site = s->readings->site;
    const size_t from = site->elements[top].parent;
    uint64_t matter = s->matter[top];
    size_t end = top;
    const char *what;

    while (s->children[end] == 1) {
        end = s->child[end];
        matter |= s->matter[end];
    }
    what = matter_words(w->arena, matter & ~OTHER);
    if (!what)
        w->text = NULL;
    else if (end == top)
        say_element(w, s, top, what);
    else
        fci_say(w, "; or ", "%s between %s and %s%s", what,
                site->elements[from == FCI_NONE ? top : from].name,
                site->elements[end].name,
                from == FCI_NONE ? ", or the main ahead of it choked" : "");
}

static void
say_stretches(struct fci_words *w, const struct stretches *s)
{
    const fc_site *site = s->readings->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const size_t parent = site->elements[at].parent;

        if (s->matter[at]
            && (parent == FCI_NONE || !s->matter[parent]
                || s->children[parent] > 1))
            say_stretch(w, s, at);
    }
}

/* ---- Outlets that may run on ------------------------------------------- */

/* One of them runs on, and it is not known which: where each leaves. */
static void
say_running(struct fci_words *w, const fc_site *site,
            const struct fci_cause *causes, const bool *picked, size_t n)
{
    const fc_unit_system units = site->settings.units;
    struct fci_words beyond = { w->arena, "", 0 };
    double low = INFINITY, high = 0;
    fc_range flows;
    size_t i, more = 0;

    for (i = 0; i < n; i++) {
        const struct fci_fault *fault = causes[i].fault[0];
        const double flow = causes[i].x[0] * fault->scale;
        const char *outlets;

        if (!picked[i] || !fci_runs_on(&causes[i]))
            continue;
        low = fmin(low, flow);
        high = fmax(high, flow);
        if (beyond.n >= MOST_NAMED) {
            more++;
            continue;
        }
        outlets = fci_outlets_words(w->arena, site, fault);
        fci_say(&beyond, " or ", "%s (%s)",
                site->elements[fault->element].name, outlets ? outlets : "");
        if (!outlets)
            beyond.text = NULL;
    }
    if (more > 0)
        fci_say(&beyond, " ", "or %zu places more", more);
    flows = (fc_range){ true, (low + high) / 2, low, high };
    if (!beyond.text)
        w->text = NULL;
    else
        fci_say(w, "; or ", "water running on or leaking, about %s, beyond %s",
                fci_show_range(units, FC_FLOW, flows).text, beyond.text);
}

/* ---- Pairs ------------------------------------------------------------- */

/* How much the pairs weigh that have this fault. */
static double
weight_with(const struct fci_cause *causes, const bool *picked, size_t n,
            const struct fci_fault *fault)
{
    double sum = 0;
    size_t i;

    for (i = 0; i < n; i++)
        if (picked[i] && causes[i].n_faults > 1
            && (causes[i].fault[0] == fault || causes[i].fault[1] == fault))
            sum += causes[i].weight;
    return sum;
}

/* The fault that most of the weight has in it, and the first pair with it. */
static const struct fci_fault *
find_common(const struct fci_cause *causes, const bool *picked, size_t n,
            size_t *pair)
{
    const struct fci_fault *common = NULL;
    double most = 0, weight;
    size_t i, k;

    for (i = 0; i < n; i++)
        for (k = 0; k < 2 && picked[i] && causes[i].n_faults > 1; k++) {
            weight = weight_with(causes, picked, n, causes[i].fault[k]);
            if (common && !fci_is_less(most, weight))
                continue;
            most = weight;
            common = causes[i].fault[k];
            *pair = i;
        }
    return common;
}

/* "the stop at wc-3 throttled, together with one of: the supply at main
 * sagging, meter m partly blocked, 9 others"; the figures of each are told
 * pair by pair. */
static void
say_pairs(struct fci_words *w, const struct fci_readings *r,
          const struct fci_cause *causes, const bool *picked, size_t n)
{
    struct fci_words partners = { w->arena, "", 0 };
    size_t i, pair = 0, with = 0, without = 0;
    const struct fci_fault *common = find_common(causes, picked, n, &pair);
    const char *name;

    if (!common)
        return;
    for (i = 0; i < n; i++) {
        const size_t other = causes[i].fault[0] == common ? 1 : 0;

        if (!picked[i] || causes[i].n_faults < 2)
            continue;
        if (causes[i].fault[1 - other] != common) {
            without++;
            continue;
        }
        if (with++ >= MOST_PARTNERS)
            continue;
        fci_join(&partners, ", ",
                 fci_fault_words(w->arena, r, &causes[i], other, true));
    }
    if (with > MOST_PARTNERS)
        fci_say(&partners, ", ", "%zu other%s", with - MOST_PARTNERS,
                with == MOST_PARTNERS + 1 ? "" : "s");
    name = fci_fault_words(w->arena, r, &causes[pair],
                           causes[pair].fault[0] == common ? 0 : 1, true);
    if (!partners.text || !name)
        w->text = NULL;
    else
        fci_say(w, "; or ", "%s, together with %s%s", name,
                with > 1 ? "one of: " : "", partners.text);
    if (without > 0)
        fci_say(w, "; or ", "%zu other pair%s", without,
                without == 1 ? "" : "s");
}

/* ---- Several ----------------------------------------------------------- */

static double
heaviest_of(const struct fci_cause *causes, const bool *picked, size_t n)
{
    double most = 0;
    size_t i;

    for (i = 0; i < n; i++)
        if (picked[i])
            most = fmax(most, causes[i].weight);
    return most;
}

static void
say_others(struct fci_words *w, const struct fci_readings *r,
           const struct fci_cause *causes, const bool *picked, size_t n,
           bool running)
{
    const double heaviest = heaviest_of(causes, picked, n);
    size_t i, named = 0, light = 0;

    for (i = 0; i < n; i++) {
        if (!picked[i] || causes[i].n_faults != 1 || is_on_stretch(&causes[i])
            || (running && fci_runs_on(&causes[i])))
            continue;
        if (causes[i].weight < LIGHT * heaviest) {
            light++;
            continue;
        }
        if (named++ >= MOST_NAMED)
            continue;
        fci_join(w, "; or ", fci_cause_words(w->arena, r, &causes[i]));
    }
    if (named > MOST_NAMED)
        fci_say(w, "; or ", "%zu other%s", named - MOST_NAMED,
                named == MOST_NAMED + 1 ? "" : "s");
    if (light > 0)
        fci_say(w, "; or ", "%zu less likely", light);
}

struct tally {
    size_t all, located, on_stretch, running, at_first_fixture, sound;
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
        t.sound += causes[i].n_faults == 0;
        t.located += is_located(&causes[i]);
        t.on_stretch += is_on_stretch(&causes[i]);
        t.running += fci_runs_on(&causes[i]);
        t.at_first_fixture +=
            causes[i].n_faults == 1 && causes[t.first].n_faults == 1
            && fault->fixture != FCI_NONE
            && !fci_doubts(fault) && !fault->shared
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

const char *
fci_causes_words(struct fci_arena *arena, const struct fci_readings *r,
                 const struct fci_cause *causes, const bool *picked, size_t n,
                 bool *single)
{
    struct fci_words w = { arena, "", 0 };
    const struct tally t = count(causes, picked, n);
    struct stretches s = { 0 };

    if (!is_one(r, causes, picked, n, &t, single))
        return NULL;
    if (t.all == 1)
        return fci_cause_words(arena, r, &causes[t.last]);
    if (make_stretches(&s, r, causes, picked, n, is_on_stretch))
        say_stretches(&w, &s);
    else
        w.text = NULL;
    fci_arena_free(&s.arena);
    if (t.running > 1)
        say_running(&w, r->site, causes, picked, n);
    say_pairs(&w, r, causes, picked, n);
    say_others(&w, r, causes, picked, n, t.running > 1);
    if (t.sound > 0)
        fci_say(&w, "; or ", "%s", fci_nothing_amiss);
    return w.text;
}
