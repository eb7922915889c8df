/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fault_pipes.c -- faults of pipes: their roughness, their size
 * and their height, and that of the inlets of fixtures. */
#include "diagnose/fault_kinds.h"
#include "laws/friction.h"
#include "site/pipe_size.h"

#include <math.h>
#include <stdlib.h>

#define SAME_SIZE 1e-6 /* m: sizes come from texts in several units */

static const struct fci_pipe *
pipe_of(const struct fci_readings *r, const struct fci_fault *fault)
{
    return r->site->elements[fault->element].pipe;
}

/* ---- Roughness --------------------------------------------------------- */

/* Whether pipes of it are known to scale up; copper and plastic do next to
 * never (common practice). */
#define SMOOTH 0.1

static bool
scales(const struct fci_material *material)
{
    return !material || material->c_old < material->c_aged;
}

/* The unknown is the logarithm of how many times the loss grows: all its pipes
 * alike, so that a smaller C and a smaller bore cannot be told apart. */
static bool
list_roughness(struct fci_listing *l, size_t first, size_t last, bool all,
               fc_range prior)
{
    const struct fci_pipe *pipe = l->readings->site->elements[first].pipe;
    const fc_range tried = l->usual->range;
    const double c = pipe->c.nominal;
    struct fci_fault fault = fci_fault_at(l, first);

    fault.prior = prior.nominal * (scales(pipe->material) ? 1 : SMOOTH);
    fault.last = last;
    fault.material = pipe->material;
    fault.all = all;
    fault.least = fmin(0, -FCI_FRICTION_EXPONENT * log(tried.high / c));
    fault.most = fmax(0, FCI_FRICTION_EXPONENT * log(c / tried.low));
    return fci_fault_add(l, &fault);
}

/* One pipe of a run of several. */
static bool
list_rough_one(struct fci_listing *l, size_t at)
{
    return !fci_fault_flowed(l, at) || l->end[l->top[at]] == l->top[at]
           || list_roughness(l, at, at, false, l->usual->pipe_prior);
}

static bool
same_material(const struct fci_listing *l, size_t a, size_t b)
{
    const struct fci_element *elements = l->readings->site->elements;

    return elements[a].pipe->material == elements[b].pipe->material;
}

/* All runs of a material: materials are few. */
static bool
list_material(struct fci_listing *l, size_t first)
{
    const fc_site *site = l->readings->site;
    const size_t n = site->n_elements;
    size_t i, at, runs = 0;
    bool room = true;

    for (i = 0; i < n; i++)
        runs += l->top[i] == i && same_material(l, i, first);
    for (i = 0; i < n && room; i++) {
        at = site->order[i];
        if (l->top[at] == at && same_material(l, at, first))
            room = list_roughness(l, at, l->end[at], false,
                                  runs == 1          ? l->usual->prior
                                  : l->end[at] == at ? l->usual->pipe_prior
                                                     : l->usual->run_prior);
    }
    return room
           && (runs == 1
               || list_roughness(l, first, first, true, l->usual->prior));
}

/* Each material at its first run. */
static bool
list_rough_runs(struct fci_listing *l)
{
    const fc_site *site = l->readings->site;
    const size_t before = l->faults->n;
    bool room = true;
    size_t i, k;

    for (i = 0; i < site->n_elements && room; i++) {
        const size_t at = site->order[i];

        if (l->top[at] != at)
            continue;
        for (k = before; k < l->faults->n
                         && !same_material(l, l->faults->list[k].element, at);
             k++)
            ;
        room = k < l->faults->n || list_material(l, at);
    }
    return room;
}

static void
set_c(struct fci_fault_trial *t, size_t here, double x)
{
    const struct fci_pipe *pipe = t->variant.site.elements[here].pipe;

    fci_variant_pipe(&t->variant, here,
                     pipe->c.nominal * exp(-x / FCI_FRICTION_EXPONENT), 0);
}

/* Of a run from its lower end up. */
static bool
apply_roughness(const struct fci_supposed *s)
{
    const struct fci_fault *fault = s->fault;
    struct fci_fault_trial *t = s->trial;
    size_t i, at;

    if (!fault->all) {
        for (at = fault->last; at != fault->element;
             at = t->from->elements[at].parent)
            set_c(t, t->here[at], s->value);
        set_c(t, t->here[at], s->value);
        return true;
    }
    for (i = 0; i < t->site.n_elements; i++) {
        const struct fci_pipe *pipe = t->site.elements[i].pipe;

        if (pipe && pipe->material == fault->material)
            set_c(t, i, s->value);
    }
    return true;
}

static double
told_c(const struct fci_cause *cause, size_t k, const struct fci_readings *r,
       double x)
{
    (void)r;
    return cause->c[k] * exp((cause->x[k] - x) / FCI_FRICTION_EXPONENT);
}

/* "pipes riser-1 to riser-3" */
static const char *
pipes_words(const struct fci_wording *w)
{
    const struct fci_fault *fault = w->fault;

    if (fault->all)
        return fci_arena_printf(w->arena, "%s%s pipe",
                                w->name ? "all " : "all other",
                                w->name ? w->name : "");
    if (fault->last != fault->element)
        return fci_arena_printf(w->arena, "pipes %s to %s", w->name,
                                w->readings->site->elements[fault->last].name);
    return w->part;
}

static const char *
roughness_words(const struct fci_wording *w)
{
    const struct fci_material *material = w->fault->material;
    const fc_range given = pipe_of(w->readings, w->fault)->c;
    const char *pipes = pipes_words(w);
    const char *what =
        w->value < given.nominal ? "scaled" : "smoother than entered";
    const char *entered = fci_span_words(w->arena, w->readings->site,
                                         FC_NUMBER, given.low, given.high);

    if (!pipes || !entered)
        return NULL;
    if (w->brief)
        return fci_arena_printf(w->arena, "%s %s", pipes, what);
    return material && material->bore_loss > 0
               ? fci_arena_printf(
                   w->arena,
                   "%s %s: C about %.0f (entered %s; new %.0f, badly scaled "
                   "%.0f)",
                   pipes, what, w->value, entered, material->c_new,
                   material->c_old)
               : fci_arena_printf(w->arena, "%s %s: C about %.0f (entered %s)",
                                  pipes, what, w->value, entered);
}

static void
steps_of_roughness(struct fci_working *w)
{
    const struct fci_fault *fault = w->fault;
    const fc_range given = pipe_of(w->readings, fault)->c;
    const char *name = fault->material ? fault->material->head.name : NULL;

    if (!(w->value < given.nominal) && w->looks_only) {
        fci_work_step(w,
                      "look up the C of %s: the file says %.0f, %.0f would "
                      "explain the readings",
                      name ? name : "such pipe", given.nominal, w->value);
        return;
    }
    if (!(w->value < given.nominal)) {
        fci_work_step(w,
                      "correct the file: C about %.0f, the file says %.0f; "
                      "open nothing",
                      w->value, given.nominal);
        return;
    }
    if (!fault->all) {
        fci_work_stretch(w);
        return;
    }
    fci_work_open(w, fault->element,
                  "open a joint of the oldest %s pipe and measure its bore",
                  name ? name : "");
    fci_work_open(w, fault->element,
                  "replace scaled pipe, the worst stretch first");
}

const struct fci_fault_kind fci_pipe_roughness = {
    .kind = FC_PIPE_ROUGHNESS,
    .dimension = FC_NUMBER,
    .unknown = FCI_EITHER_SIGN,
    .along = { "scaled", "smoother than entered" },
    .parts = FCI_AT(FCI_PIPE),
    .list_at = list_rough_one,
    .list_runs = list_rough_runs,
    .apply = apply_roughness,
    .told = told_c,
    .words = roughness_words,
    .steps = steps_of_roughness,
    .suspect = FCI_MAY_BE_SCALED,
};

/* ---- Size -------------------------------------------------------------- */

/* The next size of its material, or the one that was measured. */
static bool
list_size(struct fci_listing *l, size_t at)
{
    const fc_range measured = l->looks->size[at];
    const bool larger = l->kind == &fci_larger_size;
    const struct fci_pipe *pipe = l->readings->site->elements[at].pipe;
    struct fci_fault fault = fci_fault_at(l, at);
    size_t i;

    if (!fci_fault_flowed(l, at) || !pipe->material || !pipe->size
        || pipe->measured_bore)
        return true;
    for (i = 0; i < pipe->material->n_sizes; i++) {
        const struct fci_size *size = &pipe->material->sizes[i];

        if (measured.given
            && fabs(size->nominal - measured.nominal) > SAME_SIZE)
            continue;
        if (larger ? !fault.size
                         && size->nominal > pipe->size->nominal + SAME_SIZE
                   : size->nominal < pipe->size->nominal - SAME_SIZE)
            fault.size = size;
    }
    fault.alone = larger;
    return !fault.size || fci_fault_add(l, &fault);
}

/* Its fittings are of that size too. */
static bool
apply_size(const struct fci_supposed *s)
{
    struct fci_pipe *pipe = &s->trial->variant.pipes[s->here];
    const struct fci_size *size = s->fault->size;

    if (pipe->given->n_fittings > 0)
        pipe->equivalent = fci_equivalent_length(pipe, size->nominal);
    fci_variant_pipe(&s->trial->variant, s->here, 0, size->bore);
    return true;
}

/* One that was measured may be several sizes off. */
static bool
is_next_size(const struct fci_pipe *pipe, const struct fci_size *size)
{
    const double low = fmin(size->nominal, pipe->size->nominal) + SAME_SIZE;
    const double high = fmax(size->nominal, pipe->size->nominal) - SAME_SIZE;
    size_t i;

    for (i = 0; i < pipe->material->n_sizes; i++)
        if (pipe->material->sizes[i].nominal > low
            && pipe->material->sizes[i].nominal < high)
            return false;
    return true;
}

static const char *
size_words(const struct fci_wording *w)
{
    const struct fci_pipe *pipe = pipe_of(w->readings, w->fault);
    const struct fci_size *size = w->fault->size;
    const char *than =
        size->nominal < pipe->size->nominal ? "smaller" : "larger";

    if (is_next_size(pipe, size))
        return fci_arena_printf(w->arena, "%s one size %s than entered%s%s",
                                w->part, than, w->brief ? "" : ": ",
                                w->brief ? "" : size->label);
    return fci_arena_printf(w->arena, "%s%s%s%s %s than entered", w->part,
                            w->brief ? "" : " ", w->brief ? "" : size->label,
                            w->brief ? "" : ",", than);
}

static void
steps_of_size(struct fci_working *w)
{
    const char *name = w->readings->site->elements[w->fault->element].name;
    const char *given = fci_size_words(w, pipe_of(w->readings, w->fault));
    const char *fits = w->fault->size->label;

    if (w->looks_only)
        fci_work_step(w,
                      "measure the outside diameter of %s (wrap tape) and "
                      "enter its size: the file says %s",
                      name, given);
    else if (w->fault->seen > 1)
        fci_work_step(w,
                      "%s was measured: change its size in the file from %s "
                      "to %s; open nothing",
                      name, given, fits);
    else
        fci_work_step(w,
                      "measure the outside diameter of %s (wrap tape) and "
                      "enter its size: the file says %s, %s would explain the "
                      "readings; open nothing",
                      name, given, fits);
}

const struct fci_fault_kind fci_smaller_size = {
    .kind = FC_SMALLER_SIZE,
    .look = &fci_look_size,
    .measured = true,
    .dimension = FC_SIZE,
    .along = { "smaller than entered" },
    .parts = FCI_AT(FCI_PIPE),
    .list_at = list_size,
    .apply = apply_size,
    .words = size_words,
    .steps = steps_of_size,
    .in_file = true,
    .suspect = FCI_MAY_BE_SIZE,
};

const struct fci_fault_kind fci_larger_size = {
    .kind = FC_LARGER_SIZE,
    .look = &fci_look_size,
    .measured = true,
    .dimension = FC_SIZE,
    .along = { "larger than entered" },
    .parts = FCI_AT(FCI_PIPE),
    .list_at = list_size,
    .apply = apply_size,
    .words = size_words,
    .steps = steps_of_size,
    .in_file = true,
    .suspect = FCI_MAY_BE_SIZE,
};

/* ---- Height ------------------------------------------------------------ */

/* A file that has a rise wrong may have the length wrong with it, by the
 * height of a floor or less. */
#define ONE_FLOOR 4.2672 /* 14 ft [m], common practice */

static bool
list_rise(struct fci_listing *l, size_t at)
{
    const struct fci_element *element = &l->readings->site->elements[at];
    const double most = element->pipe->length.high + ONE_FLOOR;
    const double rise = element->rise.nominal;
    struct fci_fault fault = fci_fault_at(l, at);

    fault.most = fmin(fault.most, (most - rise) / fault.scale);
    fault.least = fmax(fault.least, -(most + rise) / fault.scale);
    return fault.least >= fault.most || fci_fault_add(l, &fault);
}

/* The inlet of each fixture that was read, once. */
static bool
list_inlets(struct fci_listing *l)
{
    const struct fci_readings *r = l->readings;
    bool *read = calloc(r->site->n_fixtures + 1, sizeof *read);
    bool room = read != NULL;
    size_t i;

    for (i = 0; room && i < r->n; i++) {
        const size_t fixture = r->gauges[i].place.fixture;
        struct fci_fault fault;

        if (fixture == FCI_NONE || r->gauges[i].dimension != FC_PRESSURE
            || read[fixture])
            continue;
        fault = fci_fault_at(l, r->site->fixtures[fixture].element);
        fault.fixture = fixture;
        fault.least = l->usual->inlet.low / fault.scale;
        fault.most = l->usual->inlet.high / fault.scale;
        room = fci_fault_add(l, &fault);
        read[fixture] = true;
    }
    free(read);
    return room;
}

static bool
apply_height(const struct fci_supposed *s)
{
    struct fci_variant *variant = &s->trial->variant;
    fc_range *rise =
        s->fault->fixture == FCI_NONE
            ? &variant->site.elements[s->here].rise
            : &fci_variant_fixture(variant,
                                   s->trial->fixture_here[s->fault->fixture])
                   ->rise;

    /* what was taped is known, wherever the range of the file is */
    *rise = fc_exactly(
        (s->fault->seen > 1 ? s->fault->told_rise : rise->nominal) + s->value);
    return true;
}

static const char *
height_words(const struct fci_wording *w)
{
    const bool inlet = w->fault->fixture != FCI_NONE;

    if (w->brief)
        return fci_arena_printf(w->arena, "%s of %s not as entered",
                                inlet ? "inlet height" : "rise", w->name);
    return fci_arena_printf(w->arena, "%s of %s %s %s than entered",
                            inlet ? "inlet" : "rise", w->name, w->size.text,
                            inlet          ? w->value < 0 ? "lower" : "higher"
                            : w->value < 0 ? "less"
                                           : "more");
}

static void
steps_of_height(struct fci_working *w)
{
    const struct fci_fault *fault = w->fault;
    const fc_site *site = w->readings->site;
    const fc_unit_system units = site->settings.units;
    const bool inlet = fault->fixture != FCI_NONE;
    const fc_range rise = inlet ? site->fixtures[fault->fixture].given->rise
                                : site->elements[fault->element].rise;
    const char *name = inlet ? site->fixtures[fault->fixture].given->name
                             : site->elements[fault->element].name;
    const char *what = inlet ? "inlet height" : "rise";
    const char *told =
        fci_span_words(w->arena, site, FC_LENGTH, rise.low, rise.high);
    const struct fci_shown is =
        fci_show(units, FC_LENGTH, rise.nominal + w->value);

    w->failed |= !told;
    if (!told)
        return;
    if (w->looks_only)
        fci_work_step(w, "tape the %s of %s: the file says %s", what, name,
                      told);
    else if (fault->seen > 1)
        fci_work_step(w,
                      "%s was taped: change its %s in the file from %s to "
                      "%s; open nothing",
                      name, what, told, is.text);
    else
        fci_work_step(w,
                      "tape the %s of %s and correct the file: by the "
                      "readings it is about %s, the file says %s; open "
                      "nothing",
                      what, name, is.text, told);
}

const struct fci_fault_kind fci_height = {
    .kind = FC_HEIGHT,
    .look = &fci_look_height,
    .measured = true,
    .dimension = FC_LENGTH,
    .unknown = FCI_EITHER_SIGN,
    .along = { "rise not as entered", "rise not as entered" },
    .parts = FCI_AT(FCI_PIPE),
    .list_at = list_rise,
    .list_rest = list_inlets,
    .apply = apply_height,
    .words = height_words,
    .steps = steps_of_height,
    .in_file = true,
    .suspect = FCI_MAY_BE_HEIGHT,
};
