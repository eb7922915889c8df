/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/vary.c -- a finished site whose inputs may be given other
 * values. */
#include "variants/vary.h"
#include "ground/names.h"
#include "site/inputs.h"
#include "site/pipe_size.h"
#include "site/resolve.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAME_SIZE 1e-6 /* m: sizes come from texts in several units */

/* Where an input's value is kept: a figure with its range, and the pipe whose
 * resistance hangs on it. */
struct fci_value_place {
    fc_range *value;
    fc_range given;
    size_t pipe; /* element; FCI_NONE: none */
    /* Which part of its range it is at: 0 low, 1 high; `own` is another
     * input's, of weight FCI_OWN_PART_OF_C, where it has one. */
    double at, own;
    bool has_own;
    bool sized;   /* one of its input's sizes */
    size_t whole; /* of an own part: the place of the whole; or FCI_NONE */
    size_t next;  /* of the same input; FCI_NONE: the last */
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
    v->resistance = fci_arena_array(arena, n, sizeof *v->resistance);
    v->changed = fci_arena_array(arena, n, sizeof *v->changed);
    if (!v->site.elements || !v->site.order || !v->parts || !v->pipes
        || !v->resistance || !v->changed)
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

/* It is exact, so that its ends are one. */
static void
set_resistance(struct fci_pipe *pipe, double resistance)
{
    int end;

    for (end = 0; end < FCI_ENDS; end++)
        pipe->resistance[end] = resistance;
}

static void
update_pipe(struct fci_variant *v, size_t element)
{
    struct fci_pipe *pipe = &v->pipes[element];
    int end;

    v->changed[element] = false;
    for (end = 0; (v->ranged || v->left) && end < FCI_ENDS; end++)
        pipe->resistance[end] =
            fci_pipe_resistance(v->site.water_weight, pipe, pipe->bore,
                                pipe->equivalent, (enum fci_end)end)
            * fci_more_is_worse(v->friction, (enum fci_end)end);
    if (v->ranged || v->left)
        return;
    v->resistance[element] = fci_pipe_resistance(
        v->site.water_weight, pipe, pipe->bore, pipe->equivalent, FCI_NOMINAL);
    set_resistance(pipe, v->resistance[element] * v->friction.nominal);
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
        v->resistance[i] = from->pipe->resistance[FCI_NOMINAL];
        v->changed[i] = false;
        if (!v->ranged)
            set_resistance(to->pipe, v->resistance[i]);
    }
    find_homes(v, i, homes);
    exact_values(v, from->part->kind, homes);
}

static void
reset_fixture(struct fci_variant *v, size_t i)
{
    const struct fci_fixture *from = &v->from->fixtures[i];
    struct fci_fixture *to = &v->site.fixtures[i];
    const struct home home[] = {
        [FCI_IN_PART] = { NULL, &v->given[i] }, [FCI_IN_FIXTURE] = { NULL, to }
    };
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

/* The part of its range that a value is at. */
static double
part_at(fc_range given, double value)
{
    return (value - given.low) / (given.high - given.low);
}

static void
reset_place(struct fci_value_place *place)
{
    place->at = place->own = part_at(place->given, place->given.nominal);
}

void
fci_variant_reset(struct fci_variant *v)
{
    const fc_site *from = v->from;
    size_t i;

    v->friction = fc_exactly(1);
    v->left = false;
    for (i = 0; i < v->n_places; i++)
        reset_place(&v->places[i]);
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

/* ---- What has one cause ----------------------------------------------- */

/* The key that fills a row in: of its list the last that begins no later. */
static const char *
key_of(const struct fci_input_row *row)
{
    const struct fci_part_kind *kind = &fci_part_kinds[row->kind];
    const struct fci_field *best = NULL;
    size_t i;

    for (i = 0; i < kind->n_fields; i++)
        if (kind->fields[i].offset <= row->offset
            && (!best || kind->fields[i].offset > best->offset))
            best = &kind->fields[i];
    return best ? best->key : "";
}

/* Whether a range is what the site's tolerance makes of a single value. */
static bool
is_widened(const fc_site *site, const struct fci_input_row *row,
           fc_range given)
{
    fc_range value = fc_exactly(given.nominal);

    if (row->tolerance == FCI_NO_TOLERANCE)
        return false;
    fci_widen(&value,
              (const void *)((const char *)&site->tolerance + row->tolerance),
              row->divisor > 0 ? value.nominal / row->divisor : row->least);
    return value.low < value.high && fabs(value.low - given.low) <= 0
           && fabs(value.high - given.high) <= 0;
}

/* NULL: not named. */
static const char *
material_of(const fc_site *site, const struct fci_pipe *pipe)
{
    if (pipe->material)
        return pipe->material->head.name;
    return pipe->given->material ? pipe->given->material
                                 : site->settings.material;
}

/* Whether it is the elevation of a floor. */
static bool
is_floor(const struct fci_input_row *row)
{
    return row->measured == FCI_IN_RISE && row->offset == FCI_NOT_OWN;
}

static enum fci_tie
cause_of(const fc_site *site, const struct fci_input *input)
{
    const struct fci_section *section =
        input->part ? input->part->section : NULL;

    if (input->each)
        return FCI_BY_ITSELF;
    if (input->row->measured == FCI_IN_C
        || input->row->measured == FCI_IN_SCALE)
        return FCI_MATERIAL;
    if (input->row->measured == FCI_IN_FITTINGS)
        return FCI_NOT_LISTED;
    if (is_widened(site, input->row, input->given))
        return FCI_BY_TOLERANCE;
    if (is_floor(input->row))
        return FCI_FLOOR;
    return section && section->typical ? FCI_TYPICAL : FCI_BY_ITSELF;
}

static bool
same_range(fc_range a, fc_range b)
{
    return fabs(a.low - b.low) <= 0 && fabs(a.high - b.high) <= 0;
}

static bool
same_material(const struct fci_input *a, const struct fci_input *b)
{
    return a->material && b->material ? fci_same_name(a->material, b->material)
                                      : a->material == b->material;
}

/* Floors are changed one by one: what became another range is no longer that
 * of the section. */
static bool
same_cause(const fc_site *site, const struct fci_input *a,
           const struct fci_input *b)
{
    if (a->cause != b->cause)
        return false;
    if (a->cause == FCI_TYPICAL)
        return a->row == b->row
               && a->part->section->line == b->part->section->line
               && a->part->path == b->part->path
               && same_range(a->given, b->given) && a->sizes == b->sizes
               && a->n_sizes == b->n_sizes;
    if (a->cause == FCI_NOT_LISTED)
        return true;
    if (a->cause == FCI_FLOOR)
        return fci_same_name(a->floor, b->floor);
    if (a->cause == FCI_MATERIAL)
        return a->row == b->row && same_material(a, b)
               && (same_range(a->given, b->given)
                   || (is_widened(site, a->row, a->given)
                       && is_widened(site, b->row, b->given)));
    return a->cause == FCI_BY_TOLERANCE
           && a->row->tolerance == b->row->tolerance
           && a->row->measured == b->row->measured;
}

bool
fci_same_input(const fc_site *site, const struct fci_input *a,
               const struct fci_input *b)
{
    if (a->row != b->row || a->cause != b->cause)
        return false;
    if (a->cause == FCI_TYPICAL || a->cause == FCI_MATERIAL
        || a->cause == FCI_BY_TOLERANCE || a->cause == FCI_NOT_LISTED
        || a->cause == FCI_FLOOR)
        return same_cause(site, a, b);
    return fci_same_name(a->name, b->name);
}

/* ---- Inputs ----------------------------------------------------------- */

static struct fci_value_place *
add_place(struct fci_variant *v, const struct fci_value_place *place)
{
    struct fci_value_place *grown =
        fci_grow(v->places, v->n_places, &v->places_room, sizeof *v->places);

    if (!grown) {
        v->out_of_memory = true;
        return NULL;
    }
    v->places = grown;
    grown[v->n_places] = *place;
    reset_place(&grown[v->n_places]);
    return &grown[v->n_places++];
}

static struct fci_input *
add_input(struct fci_variant *v, const struct fci_input *input)
{
    struct fci_input *grown =
        fci_grow(v->inputs, v->n_inputs, &v->inputs_room, sizeof *v->inputs);

    if (!grown) {
        v->out_of_memory = true;
        return NULL;
    }
    v->inputs = grown;
    grown[v->n_inputs] = *input;
    grown[v->n_inputs].first = v->n_places;
    grown[v->n_inputs].n = 0;
    return &grown[v->n_inputs++];
}

/* The input of the same cause; NULL: there is none. */
static struct fci_input *
find_shared(struct fci_variant *v, const struct fci_input *input)
{
    size_t i;

    for (i = 0; i < v->n_shared; i++)
        if (same_cause(v->from, &v->inputs[v->shared[i]], input))
            return &v->inputs[v->shared[i]];
    return NULL;
}

static bool
note_shared(struct fci_variant *v)
{
    size_t *grown =
        fci_grow(v->shared, v->n_shared, &v->shared_room, sizeof *v->shared);

    if (!grown) {
        v->out_of_memory = true;
        return false;
    }
    v->shared = grown;
    grown[v->n_shared++] = v->n_inputs - 1;
    return true;
}

/* Another value of it has come: what it is called now. */
static void
name_shared(struct fci_input *input, const struct fci_input *joined)
{
    input->element = FCI_NONE;
    input->last_name = joined->name;
    input->differs |= !same_range(input->given, joined->given);
    if (input->cause == FCI_MATERIAL)
        input->name = input->material ? input->material : "like";
    else if (input->cause == FCI_BY_TOLERANCE)
        input->name = "all parts";
    else if (input->cause == FCI_NOT_LISTED)
        input->name = "all pipes";
}

static void
join(struct fci_variant *v, struct fci_input *input, fc_range given,
     fc_range *value, size_t pipe)
{
    const struct fci_value_place place = { .value = value,
                                           .given = given,
                                           .pipe = pipe,
                                           .sized = input->sizes != NULL,
                                           .whole = FCI_NONE,
                                           .next = FCI_NONE };

    if (!add_place(v, &place))
        return;
    if (input->n++ > 0)
        v->places[input->last].next = v->n_places - 1;
    else
        input->first = v->n_places - 1;
    input->last = v->n_places - 1;
}

/* `input->given` is the range in the site, `value` its copy here. */
static void
offer(struct fci_variant *v, struct fci_input input, fc_range *value)
{
    const size_t at = input.element;
    const size_t pipe =
        at != FCI_NONE && v->from->elements[at].pipe ? at : FCI_NONE;
    const struct fci_section *section =
        input.part ? input.part->section : NULL;
    struct fci_input *shared;

    if (!input.given.given || !(input.given.low < input.given.high)
        || v->out_of_memory)
        return;
    input.each = section && section->typical
                 && input.row->offset != FCI_NOT_OWN
                 && fci_section_each(section, key_of(input.row));
    input.cause = cause_of(v->from, &input);
    shared = find_shared(v, &input);
    if (shared) {
        name_shared(shared, &input);
    } else {
        shared = add_input(v, &input);
        if (!shared || (input.cause != FCI_BY_ITSELF && !note_shared(v)))
            return;
    }
    join(v, shared, input.given, value, pipe);
}

/* A size that is a range is any of those between; where the bore was measured
 * it is no matter. */
static void
list_sizes(struct fci_variant *v, struct fci_input input)
{
    const size_t at = input.element;
    const struct fci_pipe *pipe = v->from->elements[at].pipe;
    const struct fci_material *material = pipe->material;
    size_t first = 0, n = 0;

    input.given = pipe->given->size;
    if (pipe->measured_bore || !material)
        return;
    while (first < material->n_sizes
           && material->sizes[first].nominal < input.given.low - SAME_SIZE)
        first++;
    while (first + n < material->n_sizes
           && material->sizes[first + n].nominal
                  <= input.given.high + SAME_SIZE)
        n++;
    if (n < 2)
        return;
    input.sizes = &material->sizes[first];
    input.n_sizes = n;
    offer(v, input, &v->pipes[at].bore);
}

/* Whose rise or use is the more the worse for what is left at a fixture. */
static bool
more_is_worse(const struct fci_input_row *row)
{
    switch (row->measured) {
    case FCI_IN_RISE:
    case FCI_IN_LENGTH:
    case FCI_IN_DEVICE:
    case FCI_IN_FLOW:
    case FCI_IN_COUNT:
    case FCI_IN_FITTINGS:
    case FCI_IN_SCALE:
    case FCI_IN_SHAPE:
    case FCI_IN_FALL_OFF:
        return true;
    case FCI_IN_FLOW_TEST: /* the more it had, the more it dropped */
        return row->home == FCI_IN_ELEMENT
               || row->kept == offsetof(fc_source, test_static);
    default: /* a source's height takes what the level gives */
        return row->tolerance == FCI_NO_TOLERANCE
               && row->measured == FCI_IN_LEVEL;
    }
}

/* Whether it is how high a pressure that is given was read: the higher, the
 * more there is at an elevation. */
static bool
raises_what_is_given(const struct fci_input_row *row, const void *part)
{
    return row->kind == FCI_SOURCE
           && row->kept == offsetof(fc_source, elevation)
           && row->home == FCI_IN_PART
           && ((const fc_source *)part)->kind != FC_TANK;
}

/* Whether the file does not give it, so that the tables say what is usual.  Of
 * a main what is not given follows from what is. */
static bool
is_usual(const fc_site *site, const struct fci_input *input)
{
    const struct fci_input_row *row = input->row;

    if (row->offset == FCI_NOT_OWN)
        return !is_floor(row);
    if (row->kind == FCI_SOURCE
        || (row->measured == FCI_IN_C && is_widened(site, row, input->given)))
        return false;
    if (!input->part) /* a valve of a class of the tables */
        return true;
    return !range_in(site->given[input->part - site->parts], row->offset)
                ->given;
}

/* What the row of a floor keeps beside its elevation. */
static void
name_floor(struct fci_variant *v, const void *home, struct fci_input *input)
{
    const struct fci_height *height =
        (const void *)((const char *)home + input->row->kept
                       - offsetof(struct fci_height, floor));

    if (!height->name)
        return;
    input->floor = height->name;
    input->name = fci_arena_printf(&v->arena, "floor %s", height->name);
    v->out_of_memory |= !input->name;
}

/* Whether it is the rise of a fixture that has an elevation in its place. */
static bool
is_between_heights(const struct fci_input_row *row, const struct home *homes)
{
    const struct fci_fixture *fixture = homes[FCI_IN_FIXTURE].from;

    return row->kind == FCI_FIXTURE && row->measured == FCI_IN_RISE
           && row->home == FCI_IN_PART && fci_has_height(&fixture->height);
}

/* What the part itself gives, and the C that a pipe has from a table; what a
 * valve needs moves no pressure. */
static void
list_values(struct fci_variant *v, enum fci_kind kind, struct fci_input input,
            const struct home *homes)
{
    const void *part = homes[FCI_IN_PART].from;
    const struct fci_input_row *row = fci_input_rows;

    for (; row < fci_input_rows + fci_n_input_rows; row++) {
        struct fci_input one = input;
        bool own, given;

        if (row->kind != kind || row->measured == FCI_IN_MINIMUM)
            continue;
        own = row->offset != FCI_NOT_OWN;
        given = !own || !part || range_in(part, row->offset)->given;
        if (!given && row->measured != FCI_IN_C)
            continue;
        one.row = row;
        one.what = row->what;
        one.dimension = row->dimension;
        one.more_is_worse =
            more_is_worse(row) && !raises_what_is_given(row, part);
        if (row->measured == FCI_IN_C || row->measured == FCI_IN_SCALE) {
            one.material =
                material_of(v->from, v->from->elements[input.element].pipe);
            if (!given || !own)
                one.name = one.material ? one.material : "like";
        }
        one.given = *range_in(homes[row->home].from, row->kept);
        if (is_floor(row))
            name_floor(v, homes[row->home].from, &one);
        if (is_between_heights(row, homes))
            continue;
        one.usual = is_usual(v->from, &one);
        if (row->dimension == FC_SIZE)
            list_sizes(v, one);
        else
            offer(v, one, fci_input_at(row, homes[row->home].to));
    }
}

/* The C of each pipe of a material has a smaller part of its own. */
static void
list_own_parts(struct fci_variant *v)
{
    const size_t n = v->n_inputs;
    size_t i, k;

    for (i = 0; i < n; i++) {
        if (v->inputs[i].cause != FCI_MATERIAL || v->inputs[i].n < 2
            || v->inputs[i].row->measured != FCI_IN_C)
            continue;
        for (k = v->inputs[i].first; k != FCI_NONE; k = v->places[k].next) {
            struct fci_input own = v->inputs[i];
            struct fci_input *added;

            own.cause = FCI_OWN_PART;
            own.element = v->places[k].pipe;
            own.name = v->from->elements[own.element].name;
            own.given = v->places[k].given;
            added = add_input(v, &own);
            if (!added)
                return;
            join(v, added, own.given, NULL, own.element);
            if (v->out_of_memory)
                return;
            v->places[v->n_places - 1].whole = k;
            v->places[k].has_own = true;
        }
    }
}

/* What several floors share is each one's. */
static void
name_typical(struct fci_variant *v)
{
    size_t i;

    for (i = 0; i < v->n_inputs; i++) {
        struct fci_input *input = &v->inputs[i];

        if (input->cause != FCI_TYPICAL || input->n < 2)
            continue;
        input->name =
            fci_arena_printf(&v->arena, "each of %s %s %s", input->name,
                             input->n > 2 ? "to" : "and", input->last_name);
        if (!input->name) {
            v->out_of_memory = true;
            return;
        }
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
        input.part = from->elements[i].part;
        input.element = i;
        find_homes(v, i, homes);
        list_values(v, from->elements[i].part->kind, input, homes);
    }
    input.element = FCI_NONE;
    for (i = 0; i < from->n_fixtures; i++) {
        input.name = from->fixtures[i].given->name;
        input.part = from->fixtures[i].part;
        homes[FCI_IN_PART] =
            (struct home){ from->fixtures[i].part->data, &v->given[i] };
        homes[FCI_IN_FIXTURE] =
            (struct home){ &from->fixtures[i], &v->site.fixtures[i] };
        list_values(v, FCI_FIXTURE, input, homes);
    }
    for (i = 0; i < v->n_valves; i++) {
        input.name = v->valves_from[i]->name;
        input.part = fci_site_find(from, FCI_VALVE, input.name);
        homes[FCI_IN_PART] = (struct home){ v->valves_from[i], &v->valves[i] };
        list_values(v, FCI_VALVE, input, homes);
    }
    homes[FCI_IN_PART] = (struct home){ NULL, NULL };
    for (i = 0; i < from->n_draws; i++) {
        input.name = from->draws[i].name;
        input.part = from->draws[i].part;
        homes[FCI_IN_DRAW] =
            (struct home){ &from->draws[i], &v->site.draws[i] };
        list_values(v, FCI_DEMAND, input, homes);
    }
    list_own_parts(v);
    name_typical(v);
}

/* ---- What the model may be off by -------------------------------------- */

static fc_range
around(double value, double within)
{
    const fc_range range = { true, value, value - within, value + within };

    return range;
}

static void
add_friction(struct fci_variant *v)
{
    const struct fci_input input = { .name = "all",
                                     .what = "friction",
                                     .dimension = FC_NUMBER,
                                     .given = around(1, FCI_FRICTION_WITHIN),
                                     .element = FCI_NONE,
                                     .cause = FCI_OF_MODEL,
                                     .more_is_worse = true };
    struct fci_input *added = add_input(v, &input);

    if (added)
        join(v, added, input.given, &v->friction, FCI_NONE);
}

/* The gauge that read the source; what it is off at the residual pressure is
 * in the range of that. */
static void
add_gauge(struct fci_variant *v, size_t element)
{
    const fc_source *from = v->from->elements[element].part->data;
    fc_source *to = v->parts[element].data;
    const bool main = from->kind == FC_STREET_MAIN;
    const fc_range pressure = main ? from->static_pressure : from->pressure;
    struct fci_input input = { .name = v->from->elements[element].name,
                               .what = main ? "static pressure" : "pressure",
                               .dimension = FC_PRESSURE,
                               .element = element,
                               .cause = FCI_OF_MODEL };
    struct fci_input *added;

    const double within = fci_source_within(v->from, from);

    if (!pressure.given || pressure.low < pressure.high || !(within > 0))
        return;
    input.given = around(pressure.nominal, within);
    added = add_input(v, &input);
    if (added)
        join(v, added, input.given,
             main ? &to->static_pressure : &to->pressure, FCI_NONE);
}

fc_status
fci_variant_add_model(struct fci_variant *v)
{
    const fc_site *from = v->from;
    size_t i;

    add_friction(v);
    for (i = 0; i < from->n_elements; i++)
        if (from->elements[i].part->kind == FCI_SOURCE)
            add_gauge(v, i);
    return v->out_of_memory ? FC_ENOMEM : FC_OK;
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
    free(v->shared);
    fci_arena_free(&v->arena);
}

/* A place's value by the part of its range that it is at. */
static void
put_value(struct fci_variant *v, const struct fci_value_place *place)
{
    const double part = place->has_own ? (1 - FCI_OWN_PART_OF_C) * place->at
                                             + FCI_OWN_PART_OF_C * place->own
                                       : place->at;

    *place->value =
        isnan(part)
            ? place->given
            : fc_exactly(place->given.low
                         + part * (place->given.high - place->given.low));
    if (place->pipe != FCI_NONE)
        v->changed[place->pipe] = true;
}

static void
put_size(struct fci_variant *v, const struct fci_input *in, double part)
{
    const bool left = isnan(part);
    const size_t k = left ? 0 : (size_t)(part * (double)in->n_sizes);
    const struct fci_size *size =
        &in->sizes[k < in->n_sizes ? k : in->n_sizes - 1];
    size_t i;

    for (i = in->first; i != FCI_NONE; i = v->places[i].next) {
        const size_t at = v->places[i].pipe;
        const struct fci_pipe *from = v->from->elements[at].pipe;
        struct fci_pipe *pipe = &v->pipes[at];

        pipe->equivalent = left ? from->equivalent
                           : from->given->n_fittings > 0
                               ? fci_equivalent_length(pipe, size->nominal)
                               : 0;
        pipe->bore = left ? from->bore : fc_exactly(size->bore);
        v->changed[at] = true;
    }
}

/* `alike`: a pipe's own part as well. */
static void
put_part(struct fci_variant *v, const struct fci_input *in, double part,
         bool alike)
{
    size_t i;

    v->left |= isnan(part);
    if (in->sizes) {
        put_size(v, in, part);
        return;
    }
    for (i = in->first; i != FCI_NONE; i = v->places[i].next) {
        struct fci_value_place *place = &v->places[i];

        if (place->whole != FCI_NONE) {
            v->places[place->whole].own = part;
            continue;
        }
        place->at = part;
        if (alike)
            place->own = part;
    }
}

/* What follows from the inputs. */
static void
update(struct fci_variant *v)
{
    size_t i;

    if (v->from->by_elevation) {
        fci_fit_rises(&v->site);
        for (i = 0; i < v->from->n_fixtures; i++)
            fci_fit_inlet(&v->site, &v->site.fixtures[i], &v->given[i]);
    }
    for (i = 0; v->ranged && i < v->from->n_fixtures; i++)
        v->site.fixtures[i].count =
            fci_fixture_count(&v->site.fixtures[i], FCI_WORST);
    for (i = 0; i < v->from->n_elements; i++) {
        if (!v->from->elements[i].pipe)
            continue;
        if (v->changed[i] || v->left)
            update_pipe(v, i);
        else if (!v->ranged)
            set_resistance(&v->pipes[i],
                           v->resistance[i] * v->friction.nominal);
    }
}

void
fci_variant_take(struct fci_variant *v, const double *parts)
{
    size_t i;

    v->left = false;
    for (i = 0; i < v->n_inputs; i++)
        put_part(v, &v->inputs[i], parts[i], false);
    for (i = 0; i < v->n_places; i++)
        if (v->places[i].value && !v->places[i].sized)
            put_value(v, &v->places[i]);
    update(v);
}

void
fci_variant_set(struct fci_variant *v, size_t input, double value)
{
    const struct fci_input *in = &v->inputs[input];
    size_t i;

    put_part(v, in, part_at(in->given, value), true);
    for (i = in->first; i != FCI_NONE; i = v->places[i].next) {
        const struct fci_value_place *place = &v->places[i];

        put_value(v,
                  place->whole == FCI_NONE ? place : &v->places[place->whole]);
    }
    update(v);
}

void
fci_variant_set_size(struct fci_variant *v, size_t input, size_t k)
{
    const struct fci_input *in = &v->inputs[input];

    put_size(v, in, ((double)k + 0.5) / (double)in->n_sizes);
    update(v);
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

void
fci_variant_length(struct fci_variant *v, size_t element, double length)
{
    v->pipes[element].length = fc_exactly(length);
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
