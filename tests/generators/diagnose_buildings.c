/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_buildings.c -- see
 * generators/diagnose_buildings.h.
 *
 * A main, a service, a meter, perhaps a backflow preventer and a reducer or a
 * booster, a riser, and on each floor one or two runs with closets and
 * urinals: what a plumber meets.  A fault is put into the text of the site
 * file, not by the library.
 */
#include "generators/diagnose_buildings.h"
#include "generators/reference_solver.h"
#include "generators/sites.h"

#include <math.h>
#include <stdarg.h>

#define ROOM 65536
#define DRIP 0.001        /* gpm */
#define NOMINAL_FLOW 30.0 /* gpm, at which a fault's loss is given */

static const char *const sizes[] = { "3/4 in",   "1 in", "1-1/4 in",
                                     "1-1/2 in", "2 in", "2-1/2 in" };

/* ---- The building ------------------------------------------------------ */

static double
between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

static size_t
below(gsl_rng *rng, size_t n)
{
    return (size_t)gsl_rng_uniform_int(rng, (unsigned long)n);
}

static struct sick_element *
add(struct sick_building *b, const char *kind, size_t parent)
{
    struct sick_element *e = &b->elements[b->n++];

    ck_assert_uint_lt(b->n, SICK_MOST);
    *e = (struct sick_element){ .kind = kind, .parent = parent };
    return e;
}

static size_t
add_pipe(struct sick_building *b, size_t parent, size_t size, double length,
         double rise, int elbows)
{
    struct sick_element *e = add(b, "pipe", parent);

    e->pipe = true;
    e->size = size;
    e->length = length;
    e->rise = rise;
    e->elbows = elbows;
    return b->n - 1;
}

static void
add_fixture(struct sick_building *b, size_t on, int count, bool closet)
{
    struct sick_fixture *f = &b->fixtures[b->n_fixtures++];

    f->on = on;
    f->count = count;
    f->closet = closet;
    snprintf(f->name, sizeof f->name, "%s-%zu", closet ? "wc" : "ur",
             b->n_fixtures);
}

static size_t add_device(struct sick_building *b, const char *name,
                         const char *kind, size_t parent, const char *format,
                         ...) __attribute__((format(printf, 5, 6)));

static size_t
add_device(struct sick_building *b, const char *name, const char *kind,
           size_t parent, const char *format, ...)
{
    struct sick_element *e = add(b, kind, parent);
    va_list args;

    va_start(args, format);
    vsnprintf(e->law, sizeof e->law, format, args);
    va_end(args);
    snprintf(e->name, sizeof e->name, "%s", name);
    return b->n - 1;
}

static void
name_pipe(struct sick_building *b, size_t at, const char *stem, size_t floor,
          size_t run)
{
    char *name = b->elements[at].name;

    if (run > 0)
        snprintf(name, sizeof b->elements[at].name, "%s-%zu-%zu", stem, floor,
                 run);
    else if (floor > 0)
        snprintf(name, sizeof b->elements[at].name, "%s-%zu", stem, floor);
    else
        snprintf(name, sizeof b->elements[at].name, "%s", stem);
}

/* Draws stand in statements of their own, so that every compiler makes the
 * same building of a seed. */
static size_t
add_branch(struct sick_building *b, gsl_rng *rng, size_t riser)
{
    const double length = between(rng, 8, 40);
    const size_t size = 2 + below(rng, 2);

    return add_pipe(b, riser, size, length, 0, 2);
}

static size_t
add_end(struct sick_building *b, gsl_rng *rng, size_t branch)
{
    const double rise = between(rng, -2, 3);
    const double length = between(rng, 5, 20);

    return add_pipe(b, branch, 2, length, rise, 1);
}

static void
make_floor(struct sick_building *b, gsl_rng *rng, size_t riser, size_t floor)
{
    const size_t runs = 1 + below(rng, 2);
    size_t run, at;
    bool closet;

    for (run = 1; run <= runs; run++) {
        at = add_branch(b, rng, riser);
        name_pipe(b, at, "branch", floor, run);
        add_fixture(b, at, 1 + (int)below(rng, 3), true);
        if (gsl_rng_uniform(rng) < 0.5)
            continue;
        at = add_end(b, rng, at);
        name_pipe(b, at, "end", floor, run);
        closet = gsl_rng_uniform(rng) < 0.6;
        add_fixture(b, at, 1 + (int)below(rng, 2), closet);
    }
}

static size_t
add_service(struct sick_building *b, gsl_rng *rng, size_t street)
{
    const double rise = between(rng, 0, 4);
    const double length = between(rng, 30, 80);

    return add_pipe(b, street, 4, length, rise, 2);
}

static size_t
add_riser(struct sick_building *b, gsl_rng *rng, size_t below_it, size_t size)
{
    const double rise = between(rng, 10, 12);
    const double length = between(rng, 11, 14);

    return add_pipe(b, below_it, size, length, rise, 0);
}

void
sick_make(struct sick_building *b, unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t floors, floor, at;
    double x;

    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed);
    *b = (struct sick_building){ .seed = seed };
    floors = 2 + below(rng, 4);
    b->material = gsl_rng_uniform(rng) < 0.5 ? "copper L" : "steel sch 40";
    b->c = b->material[0] == 'c' ? 140 : between(rng, 85, 120);
    b->sag = between(rng, 4, 15);
    x = gsl_rng_uniform(rng);
    b->pressure =
        60 + 5 * (double)floors + between(rng, 0, 15) - (x > 0.85 ? 25 : 0);
    at = add_device(b, "street", "source", SICK_MOST, "%s", "");
    at = add_service(b, rng, at);
    name_pipe(b, at, "service", 0, 0);
    at = add_device(b, "meter", "meter", at, "loss = %.1f psi at 80 gpm\n",
                    between(rng, 3, 7));
    if (gsl_rng_uniform(rng) < 0.5)
        at = add_device(b, "backflow", "backflow", at,
                        "loss = %.1f psi at 60 gpm\n", between(rng, 3, 7));
    if (x < 0.25)
        at = add_device(b, "reducer", "reducer", at,
                        "set = %.0f psi\nfall-off = 4 psi at 60 gpm\n",
                        b->pressure - between(rng, 8, 16));
    if (x > 0.85)
        at = add_device(b, "booster", "pump", at,
                        "curve = 0 gpm 75 ft, 60 gpm 62 ft, 140 gpm 40 ft\n");
    at = add_pipe(b, at, 4, between(rng, 20, 60), 3, 3);
    name_pipe(b, at, "main", 0, 0);
    b->bibb = at;
    for (floor = 1; floor <= floors; floor++) {
        at = add_riser(b, rng, at, floor > 2 ? 3 : 4);
        name_pipe(b, at, "riser", floor, 0);
        make_floor(b, rng, at, floor);
    }
    gsl_rng_free(rng);
}

/* ---- The fault --------------------------------------------------------- */

/* Where a fault of a kind may be: any such element but the source, which only
 * the supply's faults concern. */
static bool
may_have(const struct sick_building *b, fc_cause_kind kind, size_t at)
{
    const struct sick_element *e = &b->elements[at];

    switch (kind) {
    case FC_SUPPLY_PRESSURE:
    case FC_SUPPLY_SAG:
        return at == 0;
    case FC_REDUCER_SETTING:
        return strcmp(e->kind, "reducer") == 0;
    case FC_BLOCKED:
        return at > 0;
    case FC_PIPE_ROUGHNESS:
    case FC_HEIGHT:
        return e->pipe;
    case FC_SMALLER_SIZE:
        return e->pipe && e->size > 0;
    case FC_LARGER_SIZE:
        return e->pipe && e->size + 1 < sizeof sizes / sizeof *sizes;
    case FC_STOP_THROTTLED:
    case FC_VALVE_RATE:
        return at < b->n_fixtures;
    case FC_RUNNING_OUTLET:
        return at <= b->n_fixtures;
    case FC_PUMP_OFF:
    case FC_PUMP_WEAK:
        return strcmp(e->kind, "pump") == 0;
    case FC_HOLDS_BACK:
        return strcmp(e->kind, "backflow") == 0;
    case FC_LOSES_LESS:
        return strcmp(e->kind, "backflow") == 0
               || strcmp(e->kind, "meter") == 0;
    case FC_GAUGE_OFF:
    case FC_CHANGED:
        return at == 0;
    case FC_WRONG_READING:
        return at < SICK_READINGS;
    }
    return false;
}

static double
size_of_fault(gsl_rng *rng, fc_cause_kind kind)
{
    const double sign = gsl_rng_uniform(rng) < 0.5 ? -1 : 1;

    switch (kind) {
    case FC_SUPPLY_PRESSURE:
    case FC_REDUCER_SETTING:
        return -between(rng, 6, 15);
    case FC_PIPE_ROUGHNESS:
        return between(rng, 0.4, 0.7);
    case FC_VALVE_RATE:
        return between(rng, 0.4, 0.7);
    case FC_CHANGED:
        return -between(rng, 8, 15);
    case FC_LOSES_LESS:
        return between(rng, 0.05, 0.3);
    case FC_GAUGE_OFF:
        return sign * between(rng, 5, 15);
    case FC_HEIGHT:
    case FC_WRONG_READING:
        return sign * between(rng, 8, 20);
    case FC_RUNNING_OUTLET:
        return between(rng, 15, 35);
    case FC_HOLDS_BACK:
        return between(rng, 5, 10);
    default:
        return between(rng, 6, 20);
    }
}

void
sick_infect(struct sick_building *b, unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t places[SICK_MOST], n = 0, i;

    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed + 77777);
    while (n == 0) {
        b->fault.kind = (fc_cause_kind)below(rng, FC_WRONG_READING + 1);
        for (i = 0; i < b->n; i++)
            if (may_have(b, b->fault.kind, i))
                places[n++] = i;
    }
    b->sick = true;
    b->fault.at = places[below(rng, n)];
    b->fault.all =
        b->fault.kind == FC_PIPE_ROUGHNESS && gsl_rng_uniform(rng) < 0.5;
    b->fault.value = size_of_fault(rng, b->fault.kind);
    gsl_rng_free(rng);
}

/* ---- Text -------------------------------------------------------------- */

struct writer {
    char *text;
    size_t used;
    const struct sick_building *b;
    bool fault;
};

static void put(struct writer *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
put(struct writer *w, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    w->used +=
        (size_t)vsnprintf(w->text + w->used, ROOM - w->used, format, args);
    va_end(args);
    if (w->used >= ROOM)
        abort();
}

static bool
has(const struct writer *w, fc_cause_kind kind, size_t at)
{
    return w->fault && w->b->fault.kind == kind && w->b->fault.at == at;
}

/* A device behind the element that takes what the fault takes. */
static bool
is_followed(const struct writer *w, size_t at)
{
    return has(w, FC_SUPPLY_SAG, at) || has(w, FC_BLOCKED, at)
           || has(w, FC_HOLDS_BACK, at);
}

static void
put_name(struct writer *w, const char *key, size_t at)
{
    put(w, "%s = %s%s\n", key, w->b->elements[at].name,
        is_followed(w, at) ? "-fault" : "");
}

static void
put_source(struct writer *w)
{
    const double by = has(w, FC_SUPPLY_PRESSURE, 0) ? w->b->fault.value : 0;

    put(w,
        "kind = street main\nstatic = %.6f psi\nresidual = %.6f psi\n"
        "residual flow = 150 gpm\n",
        w->b->pressure + by, w->b->pressure - w->b->sag + by);
}

static void
put_pipe(struct writer *w, size_t at)
{
    const struct sick_element *e = &w->b->elements[at];
    const struct sick_fault *fault = &w->b->fault;
    const bool rough =
        has(w, FC_PIPE_ROUGHNESS, at)
        || (w->fault && fault->kind == FC_PIPE_ROUGHNESS && fault->all);

    put(w, "material = %s\nsize = %s\nlength = %.3f ft\nrise = %.3f ft\n",
        w->b->material,
        sizes[e->size - has(w, FC_SMALLER_SIZE, at)
              + has(w, FC_LARGER_SIZE, at)],
        e->length, e->rise + (has(w, FC_HEIGHT, at) ? fault->value : 0));
    put(w, "c = %.4f\n", w->b->c * (rough ? fault->value : 1));
    if (e->elbows > 0)
        put(w, "fittings = %d elbow 90\n", e->elbows);
}

static void
put_element(struct writer *w, size_t at)
{
    const struct sick_element *e = &w->b->elements[at];
    const double value = w->b->fault.value;
    double set, loss, flow;

    put(w, "[%s %s]\n", e->kind, e->name);
    if (at == 0)
        put_source(w);
    else
        put_name(w, "from", e->parent);
    if (e->pipe)
        put_pipe(w, at);
    else if (has(w, FC_REDUCER_SETTING, at)
             && sscanf(e->law, "set = %lf", &set) == 1)
        put(w, "set = %.6f psi\nfall-off = 4 psi at 60 gpm\n", set + value);
    else if (has(w, FC_LOSES_LESS, at)
             && sscanf(e->law, "loss = %lf psi at %lf", &loss, &flow) == 2)
        put(w, "loss = %.6f psi at %.1f gpm\n", loss * value, flow);
    else
        put(w, "%s", e->law);
    if (has(w, FC_PUMP_OFF, at))
        put(w, "running = no\n");
    if (has(w, FC_PUMP_WEAK, at)) /* as if it stood higher */
        put(w, "rise = %.6f ft\n", 2.3 * value);
    if (!is_followed(w, at))
        return;
    put(w, "[device %s-fault]\nfrom = %s\n", e->name, e->name);
    if (has(w, FC_HOLDS_BACK, at))
        put(w, "loss = %.6f psi\n", value);
    else
        put(w, "loss = %.6f psi at %.1f gpm\n", value, NOMINAL_FLOW);
}

static void
put_fixture(struct writer *w, size_t i)
{
    const struct sick_fixture *f = &w->b->fixtures[i];

    put(w, "[fixture %s]\n", f->name);
    put_name(w, "on", f->on);
    put(w, "count = %d\nkind = %s, flush valve\nexisting = %s%s\n", f->count,
        f->closet ? "water closet" : "urinal", f->closet ? "vc" : "vu",
        has(w, FC_VALVE_RATE, i) ? "-fault" : "");
    if (has(w, FC_STOP_THROTTLED, i))
        put(w, "stop = %.6f psi at 25 gpm\n", w->b->fault.value);
}

char *
sick_text(const struct sick_building *b, bool fault, const char *drip)
{
    struct writer w = { .text = malloc(ROOM),
                        .b = b,
                        .fault = fault && b->sick };
    size_t i;

    if (!w.text)
        abort();
    put(&w,
        "[site]\ntitle = Invented building %lu\n"
        "[valve vc]\nminimum flowing = 20 psi\nflow = 25 gpm at 25 psi\n"
        "full flush = 1.6 gal\n"
        "[valve vu]\nminimum flowing = 15 psi\nflow = 12 gpm at 20 psi\n"
        "full flush = 1.6 gal\n",
        b->seed);
    if (w.fault && b->fault.kind == FC_VALVE_RATE)
        put(&w,
            "[valve vc-fault]\nminimum flowing = 20 psi\n"
            "flow = %.4f gpm at 25 psi\n"
            "[valve vu-fault]\nminimum flowing = 15 psi\n"
            "flow = %.4f gpm at 20 psi\n",
            25 * b->fault.value, 12 * b->fault.value);
    for (i = 0; i < b->n; i++)
        put_element(&w, i);
    put(&w, "[fixture bibb]\nkind = hose bibb\nfixture units = 3\n");
    put_name(&w, "on", b->bibb);
    for (i = 0; i < b->n_fixtures; i++)
        put_fixture(&w, i);
    if (w.fault && b->fault.kind == FC_RUNNING_OUTLET) {
        put(&w, "[demand running]\nflow = %.6f gpm\n", b->fault.value);
        put_name(&w, "on",
                 b->fault.at == b->n_fixtures ? b->bibb
                                              : b->fixtures[b->fault.at].on);
    }
    for (i = 0; drip && i < b->n; i++)
        if (strcmp(b->elements[i].name, drip) == 0) {
            put(&w, "[demand drip]\nflow = %g gpm\n", DRIP);
            put_name(&w, "on", i);
        }
    return w.text;
}

/* ---- What gauges show -------------------------------------------------- */

static size_t
fixture_named(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (strcmp(site->fixtures[i].given->name, name) == 0)
            return i;
    return FCI_NONE;
}

/* Behind the fault of the element, where it has one. */
static double
at_element(const fc_site *site, const struct reference_flows *flows,
           const char *name)
{
    const size_t n = strlen(name);
    double found = NAN;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const char *other = site->elements[i].name;

        if (strncmp(other, name, n) == 0
            && ((other[n] == '\0' && isnan(found))
                || strcmp(other + n, "-fault") == 0))
            found = flows->flows[i] ? flows->elements[i].pressure : NAN;
    }
    return found;
}

double
sick_shows(const struct sick_building *b, bool fault, const char *at,
           const fc_flushing *flush, size_t n)
{
    const char *where = at;
    char *text;
    fc_site *site;
    struct reference *reference;
    struct reference_flows flows;
    struct fci_open open[SICK_MOST];
    double shown = NAN;
    size_t i, fixture;

    for (i = 0; i < b->n_fixtures; i++)
        if (strcmp(b->fixtures[i].name, at) == 0)
            where = b->elements[b->fixtures[i].on].name;
    text = sick_text(b, fault, where);
    site = site_of(text);
    fixture = fixture_named(site, at);
    for (i = 0; i < n; i++) {
        open[i].fixture = fixture_named(site, flush[i].fixture);
        open[i].count = flush[i].count;
    }
    reference = reference_new(site, FC_EXISTING);
    if (reference_solve(reference, open, n, &flows)) {
        shown = at_element(site, &flows, where);
        for (i = 0; i < n; i++)
            if (open[i].fixture == fixture)
                shown = flows.drawn[i].pressure;
    }
    reference_flows_free(&flows);
    reference_free(reference);
    fc_site_free(site);
    free(text);
    return shown / PSI;
}

double
sick_flow(const struct sick_building *b, bool fault, const fc_flushing *flush)
{
    char *text = sick_text(b, fault, NULL);
    fc_site *site = site_of(text);
    struct reference *reference = reference_new(site, FC_EXISTING);
    struct fci_open open = { fixture_named(site, flush->fixture), 1 };
    struct reference_flows flows;
    double drawn = NAN;

    if (reference_solve(reference, &open, 1, &flows))
        drawn = flows.drawn[0].flow / GPM;
    reference_flows_free(&flows);
    reference_free(reference);
    fc_site_free(site);
    free(text);
    return drawn;
}
