/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/vary.c -- a finished site whose inputs may be given other
 * values. */
#include "variants/vary.h"
#include "ground/names.h"
#include "site/inputs.h"
#include "site/pipe_size.h"

#include <stdlib.h>
#include <string.h>

#define SAME_SIZE 1e-6 /* m: sizes come from texts in several units */

/* Where an input's value is kept: a figure, and the pipe whose resistance
 * hangs on it. */
struct fci_value_place {
    fc_range *value;
    size_t pipe; /* element; FCI_NONE: none */
};

/* ---- Copies ----------------------------------------------------------- */

static bool
copy_elements(struct fci_variant *v)
{
    const fc_site *from = v->from;
    const size_t n = from->n_elements;
    struct fci_arena *arena = &v->arena;
    size_t i;

    v->site.elements = fci_arena_array(arena, n, sizeof *from->elements);
    v->site.order = fci_arena_array(arena, n, sizeof *from->order);
    v->parts = fci_arena_array(arena, n, sizeof *v->parts);
    v->pipes = fci_arena_array(arena, n, sizeof *v->pipes);
    if (!v->site.elements || !v->site.order || !v->parts || !v->pipes)
        return false;
    memcpy(v->site.order, from->order, n * sizeof *from->order);
    for (i = 0; i < n; i++) {
        const struct fci_part *part = from->elements[i].part;

        v->parts[i] = *part;
        v->parts[i].data =
            fci_arena_alloc(arena, fci_part_kinds[part->kind].size);
        if (!v->parts[i].data)
            return false;
    }
    return true;
}

static bool
copy_fixtures(struct fci_variant *v)
{
    const fc_site *from = v->from;
    const size_t n = from->n_fixtures;
    struct fci_arena *arena = &v->arena;

    v->site.fixtures = fci_arena_array(arena, n, sizeof *from->fixtures);
    v->given = fci_arena_array(arena, n, sizeof *v->given);
    v->valve_of = fci_arena_array(arena, FC_STATES * n, sizeof *v->valve_of);
    v->valves = fci_arena_array(arena, FC_STATES * n, sizeof *v->valves);
    v->valves_from =
        fci_arena_array(arena, FC_STATES * n, sizeof *v->valves_from);
    v->site.draws =
        fci_arena_array(arena, from->n_draws + 1, sizeof *from->draws);
    return v->site.fixtures && v->given && v->valve_of && v->valves
           && v->valves_from && v->site.draws;
}

/* Fixtures share the valve of one name. */
static bool
find_valves(struct fci_variant *v)
{
    const fc_site *from = v->from;
    struct fci_names names = { 0 };
    bool room = true, known;
    size_t i;

    for (i = 0; room && i < FC_STATES * from->n_fixtures; i++) {
        const fc_valve *valve =
            from->fixtures[i / FC_STATES].valve[i % FC_STATES];
        size_t place = v->n_valves;

        v->valve_of[i] = FCI_NONE;
        if (!valve)
            continue;
        room = fci_names_enter(&names, valve->name, &place, &known) == FC_OK;
        if (room && !known)
            v->valves_from[v->n_valves++] = valve;
        v->valve_of[i] = place;
    }
    fci_names_free(&names);
    return room;
}

/* ---- At nominal values ------------------------------------------------ */

static void
exactly(fc_range *range)
{
    if (range->given)
        *range = fc_exactly(range->nominal);
}

/* A place where the site has values of a part, and its copy here; NULL: it has
 * none there. */
struct home {
    const void *from;
    void *to;
};

static const fc_range *
range_in(const void *from, size_t offset)
{
    return (const void *)((const char *)from + offset);
}

static void
exact_values(const struct fci_variant *v, enum fci_kind kind,
             const struct home *homes)
{
    const struct fci_input_row *row = fci_input_rows;

    if (v->ranged)
        return;
    for (; row < fci_input_rows + fci_n_input_rows; row++) {
        if (row->kind != kind)
            continue;
        if (homes[FCI_IN_PART].to && row->offset != FCI_NOT_OWN)
            exactly(fci_input_in(row, homes[FCI_IN_PART].to));
        exactly(fci_input_at(row, homes[row->home].to));
    }
}

static void
find_homes(struct fci_variant *v, size_t element, struct home *homes)
{
    const struct fci_element *from = &v->from->elements[element];

    homes[FCI_IN_PART] =
        (struct home){ from->part->data, v->parts[element].data };
    homes[FCI_IN_ELEMENT] = (struct home){ from, &v->site.elements[element] };
    homes[FCI_IN_PIPE] = (struct home){ from->pipe, &v->pipes[element] };
}

static void
update_pipe(struct fci_variant *v, size_t element)
{
    struct fci_pipe *pipe = &v->pipes[element];
    int end;

    for (end = 0; end < FCI_ENDS; end++)
        pipe->resistance[end] =
            fci_pipe_resistance(v->site.water_weight, pipe, pipe->bore,
                                pipe->equivalent, (enum fci_end)end);
}

static void
reset_element(struct fci_variant *v, size_t i)
{
    const struct fci_element *from = &v->from->elements[i];
    struct fci_element *to = &v->site.elements[i];
    struct home homes[FCI_HOMES];

    *to = *from;
    to->part = &v->parts[i];
    memcpy(v->parts[i].data, from->part->data,
           fci_part_kinds[from->part->kind].size);
    if (from->pipe) {
        v->pipes[i] = *from->pipe;
        to->pipe = &v->pipes[i];
    }
    find_homes(v, i, homes);
    exact_values(v, from->part->kind, homes);
    if (from->pipe && !v->ranged)
        update_pipe(v, i);
}

static void
reset_fixture(struct fci_variant *v, size_t i)
{
    const struct fci_fixture *from = &v->from->fixtures[i];
    struct fci_fixture *to = &v->site.fixtures[i];
    const struct home home[] = { [FCI_IN_PART] = { NULL, &v->given[i] } };
    int s;

    *to = *from;
    v->given[i] = *from->given;
    exact_values(v, FCI_FIXTURE, home);
    to->given = &v->given[i];
    for (s = 0; s < FC_STATES; s++) {
        const size_t valve = v->valve_of[FC_STATES * i + (size_t)s];

        to->valve[s] = valve == FCI_NONE ? NULL : &v->valves[valve];
    }
}

static void
reset_valve(struct fci_variant *v, size_t i)
{
    const struct home home[] = { [FCI_IN_PART] = { NULL, &v->valves[i] } };

    v->valves[i] = *v->valves_from[i];
    exact_values(v, FCI_VALVE, home);
}

void
fci_variant_reset(struct fci_variant *v)
{
    const fc_site *from = v->from;
    size_t i;

    for (i = 0; i < from->n_elements; i++)
        reset_element(v, i);
    for (i = 0; i < v->n_valves; i++)
        reset_valve(v, i);
    for (i = 0; i < from->n_fixtures; i++)
        reset_fixture(v, i);
    for (i = 0; i < from->n_draws; i++) {
        const struct home home[FCI_HOMES] = { [FCI_IN_DRAW] = {
                                                  NULL, &v->site.draws[i] } };

        v->site.draws[i] = from->draws[i];
        exact_values(v, FCI_DEMAND, home);
    }
}

/* ---- Inputs ----------------------------------------------------------- */

static void
add_place(struct fci_variant *v, fc_range *value, size_t pipe)
{
    struct fci_value_place *grown =
        fci_grow(v->places, v->n_places, &v->places_room, sizeof *v->places);

    if (!grown) {
        v->out_of_memory = true;
        return;
    }
    v->places = grown;
    grown[v->n_places++] = (struct fci_value_place){ value, pipe };
    v->inputs[v->n_inputs - 1].n++;
}

/* `given` is the range in the site, `value` its copy here.  Whether it is one:
 * known only as a range. */
static bool
add_input(struct fci_variant *v, const struct fci_input *input,
          const fc_range *given, fc_range *value)
{
    const size_t at = input->element;
    const bool pipe = at != FCI_NONE && v->from->elements[at].pipe != NULL;
    struct fci_input *grown;

    if (!given->given || !(given->low < given->high))
        return false;
    grown =
        fci_grow(v->inputs, v->n_inputs, &v->inputs_room, sizeof *v->inputs);
    if (!grown) {
        v->out_of_memory = true;
        return false;
    }
    v->inputs = grown;
    grown[v->n_inputs] = *input;
    grown[v->n_inputs].given = *given;
    grown[v->n_inputs].first = v->n_places;
    grown[v->n_inputs++].n = 0;
    add_place(v, value, pipe ? at : FCI_NONE);
    return true;
}

/* A size that is a range is any of those between; where the bore was measured
 * it is no matter. */
static void
list_sizes(struct fci_variant *v, const struct fci_input *input)
{
    const size_t at = input->element;
    const struct fci_pipe *pipe = v->from->elements[at].pipe;
    const fc_range size = pipe->given->size;
    const struct fci_material *material = pipe->material;
    size_t first = 0, n = 0;

    if (pipe->measured_bore || !material)
        return;
    while (first < material->n_sizes
           && material->sizes[first].nominal < size.low - SAME_SIZE)
        first++;
    while (first + n < material->n_sizes
           && material->sizes[first + n].nominal <= size.high + SAME_SIZE)
        n++;
    if (n < 2 || !add_input(v, input, &size, &v->pipes[at].bore))
        return;
    v->inputs[v->n_inputs - 1].sizes = &material->sizes[first];
    v->inputs[v->n_inputs - 1].n_sizes = n;
}

/* What the part itself gives; what a valve needs moves no pressure. */
static void
list_values(struct fci_variant *v, enum fci_kind kind, struct fci_input input,
            const struct home *homes)
{
    const void *part = homes[FCI_IN_PART].from;
    const struct fci_input_row *row = fci_input_rows;

    for (; row < fci_input_rows + fci_n_input_rows; row++) {
        if (row->kind != kind || row->measured == FCI_IN_MINIMUM
            || (row->home == FCI_IN_PIPE && row->offset == FCI_NOT_OWN)
            || (part && row->offset != FCI_NOT_OWN
                && !range_in(part, row->offset)->given))
            continue;
        input.what = row->what;
        input.dimension = row->dimension;
        input.measured = row->measured;
        if (row->dimension == FC_SIZE)
            list_sizes(v, &input);
        else
            add_input(v, &input, range_in(homes[row->home].from, row->kept),
                      fci_input_at(row, homes[row->home].to));
    }
}

/* ---- What pipes share --------------------------------------------------- */

/* An input that several pipes have as one, for one cause: what is unknown of
 * the C and the scale of a material that has grown old together, and of the
 * fittings that one person did not list. */
struct shared {
    const char *what;
    enum fci_measured measured;
    size_t range;  /* where a struct fci_pipe has it */
    bool material; /* of each material apart */
};

static const struct shared shared_inputs[] = {
    { "C", FCI_IN_C, offsetof(struct fci_pipe, c), true },
    { "scale", FCI_IN_SCALE, offsetof(struct fci_pipe, scale), true },
    { "fittings not listed", FCI_IN_FITTINGS,
      offsetof(struct fci_pipe, allowance), false },
};

static fc_range *
shared_range(const struct shared *shared, struct fci_pipe *pipe)
{
    return (void *)((char *)pipe + shared->range);
}

/* A C that is given is the pipe's own. */
static bool
shares(const struct shared *shared, const struct fci_element *element)
{
    const fc_range *range;

    if (!element->pipe || (shared->material && !element->pipe->material)
        || (shared->range == offsetof(struct fci_pipe, c)
            && element->pipe->given->c.given))
        return false;
    range = shared_range(shared, element->pipe);
    return range->given && range->low < range->high;
}

static bool
same_cause(const struct shared *shared, struct fci_pipe *a, struct fci_pipe *b)
{
    const fc_range *x = shared_range(shared, a), *y = shared_range(shared, b);

    return (!shared->material || a->material == b->material)
           && x->low == y->low && x->high == y->high;
}

static void
list_shared(struct fci_variant *v, const struct shared *shared, size_t first)
{
    const struct fci_element *elements = v->from->elements;
    struct fci_pipe *pipe = elements[first].pipe;
    const struct fci_input input = { .name = shared->material
                                                 ? pipe->material->head.name
                                                 : "all",
                                     .what = shared->what,
                                     .dimension = FC_NUMBER,
                                     .measured = shared->measured,
                                     .element = first };
    size_t i;

    if (!add_input(v, &input, shared_range(shared, pipe),
                   shared_range(shared, &v->pipes[first])))
        return;
    for (i = first + 1; i < v->from->n_elements; i++)
        if (shares(shared, &elements[i])
            && same_cause(shared, elements[i].pipe, pipe))
            add_place(v, shared_range(shared, &v->pipes[i]), i);
    v->inputs[v->n_inputs - 1].element = FCI_NONE;
}

static void
list_all_shared(struct fci_variant *v, const struct shared *shared)
{
    const struct fci_element *elements = v->from->elements;
    const size_t before = v->n_inputs;
    size_t i, k;

    /* without memory an input may have no place */
    for (i = 0; i < v->from->n_elements && !v->out_of_memory; i++) {
        if (!shares(shared, &elements[i]))
            continue;
        for (k = before; k < v->n_inputs; k++) /* materials are few */
            if (same_cause(shared,
                           elements[v->places[v->inputs[k].first].pipe].pipe,
                           elements[i].pipe))
                break;
        if (k == v->n_inputs)
            list_shared(v, shared, i);
    }
}

static void
list_inputs(struct fci_variant *v)
{
    const fc_site *from = v->from;
    struct fci_input input = { .element = FCI_NONE };
    struct home homes[FCI_HOMES] = { { NULL, NULL } };
    size_t i;

    for (i = 0; i < from->n_elements; i++) {
        input.name = from->elements[i].name;
        input.element = i;
        find_homes(v, i, homes);
        list_values(v, from->elements[i].part->kind, input, homes);
    }
    for (i = 0; i < sizeof shared_inputs / sizeof *shared_inputs; i++)
        list_all_shared(v, &shared_inputs[i]);
    input.element = FCI_NONE;
    for (i = 0; i < from->n_fixtures; i++) {
        input.name = from->fixtures[i].given->name;
        homes[FCI_IN_PART] =
            (struct home){ from->fixtures[i].part->data, &v->given[i] };
        list_values(v, FCI_FIXTURE, input, homes);
    }
    for (i = 0; i < v->n_valves; i++) {
        input.name = v->valves_from[i]->name;
        homes[FCI_IN_PART] = (struct home){ v->valves_from[i], &v->valves[i] };
        list_values(v, FCI_VALVE, input, homes);
    }
    homes[FCI_IN_PART] = (struct home){ NULL, NULL };
    for (i = 0; i < from->n_draws; i++) {
        input.name = from->draws[i].name;
        homes[FCI_IN_DRAW] =
            (struct home){ &from->draws[i], &v->site.draws[i] };
        list_values(v, FCI_DEMAND, input, homes);
    }
}

/* ---- Making and setting ----------------------------------------------- */

static fc_status
make(struct fci_variant *v, const fc_site *site, bool ranged)
{
    memset(v, 0, sizeof *v);
    v->ranged = ranged;
    v->from = site;
    v->site = *site;
    if (!copy_elements(v) || !copy_fixtures(v) || !find_valves(v))
        return FC_ENOMEM;
    fci_variant_reset(v);
    list_inputs(v);
    return v->out_of_memory ? FC_ENOMEM : FC_OK;
}

fc_status
fci_variant_make(struct fci_variant *v, const fc_site *site)
{
    return make(v, site, false);
}

fc_status
fci_variant_make_ranged(struct fci_variant *v, const fc_site *site)
{
    return make(v, site, true);
}

void
fci_variant_free(struct fci_variant *v)
{
    free(v->inputs);
    free(v->places);
    fci_arena_free(&v->arena);
}

void
fci_variant_set(struct fci_variant *v, size_t input, double value)
{
    const struct fci_input *in = &v->inputs[input];
    size_t i;

    for (i = in->first; i < in->first + in->n; i++) {
        *v->places[i].value = fc_exactly(value);
        if (v->places[i].pipe != FCI_NONE)
            update_pipe(v, v->places[i].pipe);
    }
}

void
fci_variant_set_size(struct fci_variant *v, size_t input, size_t k)
{
    const struct fci_input *in = &v->inputs[input];
    const struct fci_size *size = &in->sizes[k];
    struct fci_pipe *pipe = &v->pipes[in->element];

    pipe->equivalent =
        v->from->elements[in->element].pipe->given->n_fittings > 0
            ? fci_equivalent_length(pipe, size->nominal)
            : 0;
    fci_variant_set(v, input, size->bore);
}

/* ---- Faults ----------------------------------------------------------- */

void *
fci_variant_data(struct fci_variant *v, size_t element)
{
    return v->parts[element].data;
}

void
fci_variant_pipe(struct fci_variant *v, size_t element, double c, double bore)
{
    if (c > 0)
        v->pipes[element].c = fc_exactly(c);
    if (bore > 0)
        v->pipes[element].bore = fc_exactly(bore);
    update_pipe(v, element);
}

fc_fixture *
fci_variant_fixture(struct fci_variant *v, size_t fixture)
{
    return &v->given[fixture];
}

fc_valve *
fci_variant_valve(struct fci_variant *v, size_t fixture, fc_state state)
{
    const size_t valve = v->valve_of[FC_STATES * fixture + (size_t)state];

    return valve == FCI_NONE ? NULL : &v->valves[valve];
}
