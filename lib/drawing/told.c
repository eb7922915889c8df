/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/told.c -- what the cells of a riser diagram tell. */
#include "drawing/cells.h"
#include "ground/characters.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

#define MOST 8    /* lines of an element or an outlet */
#define APART 5.0 /* px before an outlet */

struct lines {
    struct fci_diagram *diagram;
    struct fci_told *told;
    size_t n, room;
    const struct fci_outlet *outlet; /* of the lines to come; NULL: none */
    bool begun;                      /* its first line stands */
    double height;
};

static void
tell(struct lines *l, enum fci_mark mark, struct fci_said said)
{
    const char *text = fci_arena_string(&l->diagram->arena, said.text);

    if (!said.text[0] || !text || l->n == l->room)
        return;
    if (l->outlet && !l->begun && l->n > 0)
        l->height += APART;
    l->told[l->n++] = (struct fci_told){
        .text = text,
        .outlet = l->begun ? NULL : l->outlet,
        .aside = l->outlet || mark != FCI_MARK_NONE,
        .mark = mark,
        .top = l->height,
    };
    l->height += FCI_LINE;
    l->begun = true;
}

static struct fci_shown
shown(const struct lines *l, fc_dimension dimension, double si)
{
    return fci_show(l->diagram->units, dimension, si);
}

/* A difference that is not nothing is not told as nothing. */
static struct fci_said
amount(const struct lines *l, double pressure)
{
    const fc_unit_system u = l->diagram->units;
    char digits[40];
    const char *at = digits;
    double value = 0;
    int more = 0;

    do
        fc_show(u, FC_PRESSURE, FC_NEAREST, more, fabs(pressure), digits,
                sizeof digits);
    while ((at = digits, fci_read_number(&at, &value), value <= 0)
           && fabs(pressure) > 0 && more++ < 4);
    return fci_said("%s %s", digits, fc_unit_name(u, FC_PRESSURE));
}

/* ---- What a report tells of a place ----------------------------------- */

static enum fci_mark
mark_of(fc_verdict verdict)
{
    return verdict == FC_WILL_NOT_WORK ? FCI_MARK_SHORT
           : verdict == FC_CANNOT_TELL ? FCI_MARK_DOUBT
                                       : FCI_MARK_WORKS;
}

static bool
tell_point(struct lines *l, const char *name)
{
    const struct fci_points *points = l->diagram->points;
    struct fci_point point = { 0 };

    if (!points || !points->at(points->context, name, &point))
        return false;
    if (point.pressure.given)
        tell(l, FCI_MARK_NONE,
             fci_said("%s", fci_show_range(l->diagram->units, FC_PRESSURE,
                                           point.pressure)
                                .text));
    if (point.flow.given)
        tell(l, FCI_MARK_NONE,
             fci_said(
                 "%s",
                 fci_show_range(l->diagram->units, FC_FLOW, point.flow).text));
    if (point.word)
        tell(l, point.unmarked ? FCI_MARK_NONE : mark_of(point.mark),
             fci_said("%s", point.word));
    return true;
}

/* ---- Elements --------------------------------------------------------- */

static void
tell_source(struct lines *l, const struct fci_element *element)
{
    const fc_check_result *result = l->diagram->result;
    const fc_source *source = element->part->data;
    const fc_checked_state *state;

    if (source->kind == FC_TANK)
        tell(l, FCI_MARK_NONE,
             fci_said("water at %s",
                      shown(l, FC_LENGTH, source->water_level.nominal).text));
    else
        tell(l, FCI_MARK_NONE,
             fci_said("static %s", shown(l, FC_PRESSURE,
                                         source->kind == FC_FIXED
                                             ? source->pressure.nominal
                                             : source->static_pressure.nominal)
                                       .text));
    if (!result || !fci_same_name(result->source, element->name))
        return;
    state = &result->states[fci_judged(result)];
    tell(l, FCI_MARK_NONE,
         fci_said("residual %s",
                  shown(l, FC_PRESSURE, state->source_pressure.nominal).text));
    tell(l, FCI_MARK_NONE,
         fci_said("at %s", shown(l, FC_FLOW, state->peak_flow.nominal).text));
}

/* The greatest of those drawn as one. */
static void
tell_flow(struct lines *l, const struct fci_drawn *drawn, bool wide)
{
    const fc_state s = fci_judged(l->diagram->result);
    const fc_checked_pipe *most = l->diagram->pipes[drawn->element], *pipe;
    struct fci_shown flow, velocity;
    const char *up_to = "";
    bool fast;
    size_t i;

    if (!most)
        return;
    for (i = 0; i < drawn->n_elements; i++) {
        pipe = l->diagram->pipes[drawn->elements[i]];
        if (fabs(pipe->states[s].peak_flow.nominal
                 - most->states[s].peak_flow.nominal)
            > 1e-9)
            up_to = "up to ";
        if (pipe->states[s].peak_flow.nominal
            > most->states[s].peak_flow.nominal)
            most = pipe;
    }
    flow = shown(l, FC_FLOW, most->states[s].peak_flow.nominal);
    velocity = shown(l, FC_VELOCITY, most->states[s].velocity.nominal);
    fast = most->states[s].velocity.nominal > most->velocity_limit;
    if (wide)
        tell(l, FCI_MARK_NONE,
             fci_said("%s%s, %s", up_to, flow.text, velocity.text));
    else {
        tell(l, FCI_MARK_NONE, fci_said("%s%s", up_to, flow.text));
        tell(l, FCI_MARK_NONE, fci_said("%s", velocity.text));
    }
    if (fast)
        tell(l, FCI_MARK_NONE,
             fci_said("FAST: limit %s",
                      shown(l, FC_VELOCITY, most->velocity_limit).text));
}

static struct fci_said
size_of(const struct lines *l, const struct fci_pipe *pipe)
{
    if (pipe->size)
        return fci_said("%s", pipe->size->label);
    return fci_said(
        "%s bore",
        fci_show_diameter(l->diagram->units, pipe->bore.nominal).text);
}

static void
tell_pipe(struct lines *l, const struct fci_drawn *drawn, bool wide)
{
    const struct fci_element *element =
        &l->diagram->site->elements[drawn->element];
    const struct fci_pipe *pipe = element->pipe;

    tell(l, FCI_MARK_NONE,
         fci_said("%s, %s",
                  pipe->given->choose_size ? "size open"
                                           : size_of(l, pipe).text,
                  shown(l, FC_LENGTH, pipe->length.nominal).text));
    tell_flow(l, drawn, wide);
    if (element->to != FCI_NONE)
        tell(l, FCI_MARK_NONE,
             fci_said("joins %s",
                      l->diagram->site->elements[element->to].name));
}

/* The other end of a pipe that closes a loop. */
static void
tell_joined(struct lines *l, size_t element)
{
    const struct fci_element *elements = l->diagram->site->elements;
    size_t i = l->diagram->joined[element];

    for (; i != FCI_NONE; i = l->diagram->joins[i])
        tell(l, FCI_MARK_NONE, fci_said("joined by %s", elements[i].name));
}

static void
tell_element(struct lines *l, const struct fci_drawn *drawn, bool floors,
             bool wide)
{
    const struct fci_element *element =
        &l->diagram->site->elements[drawn->element];
    const fc_reducer *reducer = element->part->data;
    const fc_pump *pump = element->part->data;

    tell(l, FCI_MARK_NONE, fci_said("%s", element->name));
    if (floors)
        tell(l, FCI_MARK_NONE,
             fci_said("%s", fci_tell_floors(l->diagram, drawn)));
    if (element->part->kind == FCI_SOURCE)
        tell_source(l, element);
    else if (element->pipe)
        tell_pipe(l, drawn, wide);
    else if (element->part->kind == FCI_REDUCER)
        tell(l, FCI_MARK_NONE,
             fci_said("set %s",
                      shown(l, FC_PRESSURE, reducer->set.nominal).text));
    else if (element->part->kind == FCI_PUMP && pump->hold.given)
        tell(l, FCI_MARK_NONE,
             fci_said("set %s",
                      shown(l, FC_PRESSURE, pump->hold.nominal).text));
    tell_joined(l, drawn->element);
    tell_point(l, element->name);
    if (drawn->branches > 1)
        tell(l, FCI_MARK_NONE, fci_said("1 of %zu alike", drawn->branches));
}

/* ---- Outlets ---------------------------------------------------------- */

static void
tell_verdict(struct lines *l, const fc_fixture_state *state)
{
    const double margin = state->margin.nominal;

    if (state->works == FC_CANNOT_TELL)
        tell(l, FCI_MARK_DOUBT, fci_said("cannot tell"));
    else if (state->works == FC_WILL_NOT_WORK)
        tell(l, FCI_MARK_SHORT,
             state->margin.given && margin < 0
                 ? fci_said("short by %s", amount(l, margin).text)
                 : fci_said("does not work"));
    else if (state->margin.given)
        tell(l, FCI_MARK_WORKS,
             fci_said("%s to spare",
                      shown(l, FC_PRESSURE, fmax(margin, 0)).text));
    if (state->too_high == FC_WILL_NOT_WORK && state->excess)
        tell(l, FCI_MARK_SHORT,
             fci_said("too high: limit %s",
                      shown(l, FC_PRESSURE, state->excess->maximum).text));
    else if (state->too_high == FC_CANNOT_TELL && state->excess)
        tell(l, FCI_MARK_DOUBT, fci_said("may be too high"));
}

static void
tell_fixture(struct lines *l, const struct fci_outlet *outlet)
{
    const struct fci_fixture *fixture =
        &l->diagram->site->fixtures[outlet->shown];
    const fc_check_result *result = l->diagram->result;
    const fc_checked_fixture *told;
    const fc_unit_system u = l->diagram->units;
    struct fci_said name, of, both;
    char still[40], now[40];

    name = fixture->count > 1
               ? fci_said("%d %s", fixture->count, fixture->given->name)
               : fci_said("%s", fixture->given->name);
    of = fci_said("%s of %zu", result ? "worst" : "1", outlet->n);
    both = fci_said("%s, %s", name.text, of.text);
    if (outlet->n > 1 && fci_svg_width(both.text) <= FCI_CELL_WIDEST)
        tell(l, FCI_MARK_NONE, both);
    else {
        tell(l, FCI_MARK_NONE, name);
        if (outlet->n > 1)
            tell(l, FCI_MARK_NONE, of);
    }
    if (tell_point(l, fixture->given->name) || !result)
        return;
    told = &result->fixtures[outlet->shown];
    fc_show(u, FC_PRESSURE, FC_NEAREST, 0, told->static_pressure.nominal,
            still, sizeof still);
    fc_show(u, FC_PRESSURE, FC_NEAREST, 0,
            told->states[FC_EXISTING].flowing.nominal, now, sizeof now);
    if (result->converted)
        tell(l, FCI_MARK_NONE,
             fci_said("%s / %s / %s", still, now,
                      shown(l, FC_PRESSURE,
                            told->states[FC_RETROFIT].flowing.nominal)
                          .text));
    else
        tell(l, FCI_MARK_NONE,
             fci_said("%s / %s %s", still, now, fc_unit_name(u, FC_PRESSURE)));
    tell_verdict(l, &told->states[fci_judged(result)]);
}

static void
tell_outlet(struct lines *l, const struct fci_outlet *outlet)
{
    const struct fci_draw *draw;

    l->outlet = outlet;
    l->begun = false;
    if (!outlet->is_draw) {
        tell_fixture(l, outlet);
        return;
    }
    draw = &l->diagram->site->draws[outlet->shown];
    tell(l, FCI_MARK_NONE, fci_said("%s", draw->name));
    tell(l, FCI_MARK_NONE,
         fci_said("draws %s", shown(l, FC_FLOW, draw->flow.nominal).text));
}

bool
fci_tell(struct fci_diagram *diagram, const struct fci_drawn *drawn, bool own,
         bool outlets, struct fci_drawn_cell *cell)
{
    const size_t n = (own ? 1 : 0) + (outlets ? drawn->n_outlets : 0);
    struct lines l = { .diagram = diagram, .room = MOST * n };
    size_t i;

    l.told = fci_arena_array(&diagram->arena, l.room + 1, sizeof *l.told);
    if (!l.told)
        return false;
    if (own)
        tell_element(&l, drawn, drawn->floors > 1 && !cell->note,
                     outlets && drawn->n_outlets > 0);
    for (i = 0; outlets && i < drawn->n_outlets; i++)
        tell_outlet(&l, &diagram->fold.outlets[drawn->first_outlet + i]);
    cell->told = l.told;
    cell->n_told = l.n;
    cell->told_height = l.height;
    return !diagram->arena.failed;
}

/* ---- Floors ----------------------------------------------------------- */

/* The number in which two names differ, where all else of them is the same. */
static bool
numbers_of(const char *a, const char *b, int numbers[2])
{
    size_t from = 0, k;
    const char *ends[2] = { NULL, NULL }, *names[2] = { a, b };

    while (a[from] && a[from] == b[from])
        from++;
    while (from > 0 && fci_is_digit(a[from - 1]))
        from--;
    for (k = 0; k < 2; k++) {
        numbers[k] = 0;
        for (ends[k] = names[k] + from;
             fci_is_digit(*ends[k]) && numbers[k] < 100000; ends[k]++)
            numbers[k] = 10 * numbers[k] + (*ends[k] - '0');
        if (ends[k] == names[k] + from)
            return false;
    }
    return strcmp(ends[0], ends[1]) == 0;
}

const char *
fci_tell_floors(struct fci_diagram *diagram, const struct fci_drawn *drawn)
{
    const struct fci_element *elements = diagram->site->elements;
    const struct fci_element *first = &elements[drawn->element];
    const bool upright =
        fabs(first->rise.nominal) > 0.5 * first->pipe->length.nominal;
    int n[2];

    if (numbers_of(first->name, elements[drawn->last].name, n)
        && (size_t)(n[0] < n[1] ? n[1] - n[0] : n[0] - n[1]) + 1
               == drawn->floors)
        return fci_arena_printf(
            &diagram->arena, upright ? "floors %d-%d, alike" : "%d-%d, alike",
            n[0] < n[1] ? n[0] : n[1], n[0] < n[1] ? n[1] : n[0]);
    return fci_arena_printf(&diagram->arena,
                            upright ? "%zu floors alike" : "%zu alike",
                            drawn->floors);
}
