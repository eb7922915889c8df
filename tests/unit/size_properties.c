/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/size_properties.c -- what must hold of the sizes of every
 * building. */
#include "generators/buildings.h"
#include "variants/change.h"
#include "check/judge.h"
#include "unit/size_suite.h"

#include <gsl/gsl_rng.h>

#define BUILDINGS 45

/* ---- Buildings whose sizes are to be chosen ---------------------------- */

/* A pipe of a material has no more than that and, now and then, its C. */
static void
leave_open(struct building *b, fc_pipe *pipe)
{
    if (!building_material(b, pipe))
        return;
    pipe->choose_size = true;
    pipe->size = pipe->inside_diameter = (fc_range){ false, 0, 0, 0 };
}

/* The generic classes bear 80 psi without flow, which many of the buildings
 * exceed: this one bears anything. */
static const fc_valve sturdy = {
    .name = "sturdy",
    .minimum_flowing = { true, 20 * PSI, 20 * PSI, 20 * PSI },
    .flow = { true, 25 * GPM, 25 * GPM, 25 * GPM },
    .flow_pressure = { true, 25 * PSI, 25 * PSI, 25 * PSI },
    .full_flush = { true, 1.6 * GALLON, 1.6 * GALLON, 1.6 * GALLON }
};

static bool
is_generic(const char *valve)
{
    return strncmp(valve, "Valve", strlen("Valve")) != 0;
}

/* What no pipe size cures is put right, so that sizes are found. */
static void
put_right(struct building_part *part)
{
    fc_fixture *f = &part->as.fixture;

    fc_source *main = &part->as.source;

    if (part->kind == FCI_VALVE)
        part->as.valve.maximum_static.given = false;
    if (part->kind == FCI_PIPE && !part->as.pipe.c.given)
        part->as.pipe.condition = FC_NEW; /* it stays what it is put in as */
    if (part->kind == FCI_SOURCE && main->kind == FC_STREET_MAIN
        && !main->residual.given) { /* no sizes surely do for such a main */
        main->kind = FC_FIXED;
        main->pressure = main->static_pressure;
        main->static_pressure.given = false;
    }
    if (part->kind != FCI_FIXTURE)
        return;
    f->bowl.given = false;
    f->supply_size = fc_exactly(3 * INCH);
    if (strstr(f->kind, "flush valve")
        && (!f->existing || is_generic(f->existing)))
        f->existing = sturdy.name;
    if (f->retrofit && is_generic(f->retrofit))
        f->retrofit = sturdy.name;
}

/* N/m3 at 60 degF; near enough to raise a tank */
#define WATER_WEIGHT 9797

static fc_size_result *
sized_building(const struct building *b, fc_site **site)
{
    *site = building_site(b, NULL);
    ck_assert_ptr_nonnull(*site);
    return sized(*site, &by_peak);
}

/* At peak, whatever else fails; INFINITY: none serve. */
static double
cost_of(const struct building *b)
{
    fc_site *site;
    fc_size_result *r = sized_building(b, &site);
    const double cost = isnan(r->cost_at_peak) ? INFINITY : r->cost_at_peak;

    ck_assert(r->exact || isinf(cost));
    fc_size_result_free(r);
    fc_site_free(site);
    return cost;
}

/* More no street main has. */
#define MOST_STATIC (270 * PSI)

/* The source is to give somewhat more than what would just do, where it may.
 */
static void
give_some_more(struct building *b, gsl_rng *rng)
{
    fc_site *site;
    fc_size_result *r = sized_building(b, &site);
    const fc_source *source = &b->parts[0].as.source;
    double by = -INFINITY;
    int s;

    for (s = 0; s < FC_STATES; s++)
        if (r->source[s].given && !isinf(r->source[s].least))
            by = fmax(by, r->source[s].least - r->source[s].pressure);
    by += (0.5 + 8 * gsl_rng_uniform(rng)) * PSI;
    if (source->kind == FC_STREET_MAIN)
        by = fmin(by, MOST_STATIC - source->static_pressure.high);
    if (!isinf(by))
        building_shift_source(b, by, WATER_WEIGHT);
    fc_size_result_free(r);
    fc_site_free(site);
}

struct open_building {
    struct building made, b;
    gsl_rng *rng;
};

static void
open_begin(struct open_building *o, int number)
{
    const struct building_plan plan = { .fewest = 4,
                                        .most = 25,
                                        .ranges = number % 2 == 1 };
    size_t i;

    o->rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(o->rng, 100 + (unsigned long)number);
    building_make(&o->made, 40000 + (unsigned long)number, &plan);
    building_copy(&o->b, &o->made);
    o->b.settings.maximum_static = fc_exactly(900 * PSI);
    building_add(&o->b, FCI_VALVE)->as.valve = sturdy;
    for (i = 0; i < o->b.n_parts; i++) {
        struct building_part *part = &o->b.parts[i];

        put_right(part);
        if (part->kind == FCI_PIPE && gsl_rng_uniform(o->rng) < 0.85)
            leave_open(&o->b, &part->as.pipe);
    }
    give_some_more(&o->b, o->rng);
}

static void
open_end(struct open_building *o)
{
    building_free(&o->b);
    building_free(&o->made);
    gsl_rng_free(o->rng);
}

/* ---- Never dearer ------------------------------------------------------ */

START_TEST(more_supply)
{
    struct open_building o;
    double cost, with_more;
    int k;

    open_begin(&o, _i);
    cost = cost_of(&o.b);
    for (k = 0; k < 4; k++) {
        building_shift_source(&o.b, 10 * gsl_rng_uniform(o.rng) * PSI,
                              WATER_WEIGHT);
        with_more = cost_of(&o.b);
        ck_assert_double_le(with_more, cost * (1 + CLOSE));
        cost = with_more;
    }
    open_end(&o);
}
END_TEST

START_TEST(looser_limit)
{
    static const double limits[] = { 4, 6, 8, 11, 20 }; /* ft/s */
    struct open_building o;
    double cost = INFINITY, looser;
    int k;

    open_begin(&o, _i);
    for (k = 0; k < COUNT(limits); k++) {
        o.b.settings.velocity_limit = fc_exactly(limits[k] * FOOT);
        looser = cost_of(&o.b);
        ck_assert_double_le(looser, cost * (1 + CLOSE));
        cost = looser;
    }
    open_end(&o);
}
END_TEST

/* Heaters name the fixtures that they serve, so there are to be none. */
static void
drop_parts(struct building *b, enum fci_kind kind, const char *name)
{
    size_t i, n = 0;

    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind != kind
            || (name && strcmp(b->parts[i].as.name, name) != 0))
            b->parts[n++] = b->parts[i];
    b->n_parts = n;
}

static const char *
last_fixture(const struct building *b, int *n)
{
    const char *name = NULL;
    size_t i;

    *n = 0;
    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_FIXTURE) {
            name = b->parts[i].as.name;
            ++*n;
        }
    return name;
}

START_TEST(fewer_fixtures)
{
    struct open_building o;
    double cost, with_fewer;
    const char *name;
    int n, k;

    open_begin(&o, _i);
    drop_parts(&o.b, FCI_HEATER, NULL);
    cost = cost_of(&o.b);
    for (k = 0; k < 5; k++) {
        name = last_fixture(&o.b, &n);
        if (n < 2)
            break;
        drop_parts(&o.b, FCI_FIXTURE, name);
        with_fewer = cost_of(&o.b);
        ck_assert_double_le(with_fewer, cost * (1 + CLOSE));
        cost = with_fewer;
    }
    open_end(&o);
}
END_TEST

/* ---- What was chosen --------------------------------------------------- */

static const fc_checked_pipe *
checked_pipe(const fc_check_result *check, const char *name)
{
    size_t i;

    for (i = 0; i < check->n_pipes; i++)
        if (strcmp(check->pipes[i].name, name) == 0)
            return &check->pipes[i];
    ck_abort_msg("no pipe %s", name);
}

static bool
too_fast(const fc_check_result *check, const char *name)
{
    const fc_checked_pipe *p = checked_pipe(check, name);
    int s;

    for (s = 0; s < judged_states(check); s++)
        if (p->states[s].velocity.high > p->velocity_limit * (1 + CLOSE))
            return true;
    return false;
}

START_TEST(chosen_passes)
{
    struct open_building o;
    fc_size_result *r;
    fc_site *site;
    double sum = 0;
    size_t i;

    open_begin(&o, _i);
    r = sized_building(&o.b, &site);
    if (r->feasible) {
        ck_assert_int_eq(r->check->works, FC_WORKS);
        ck_assert(has_pressure(r->check));
        for (i = 0; i < r->n_pipes; i++) {
            ck_assert(!too_fast(r->check, r->pipes[i].name));
            sum += r->pipes[i].cost;
        }
        ck_assert(is_close(sum, r->cost));
    }
    fc_size_result_free(r);
    fc_site_free(site);
    open_end(&o);
}
END_TEST

/* ---- One size less ----------------------------------------------------- */

static const struct fci_element *
element_of(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (strcmp(site->elements[i].name, name) == 0)
            return &site->elements[i];
    ck_abort_msg("no element %s", name);
}

static const struct fci_size *
size_called(const struct fci_material *material, const char *label)
{
    size_t i;

    for (i = 0; i < material->n_sizes; i++)
        if (strcmp(material->sizes[i].label, label) == 0)
            return &material->sizes[i];
    ck_abort_msg("no size %s of %s", label, material->head.name);
}

/* From here on `labels` are sizes by the element's number; NULL: in place, or
 * no pipe. */

/* The nearest pipe, itself or upstream; FCI_NONE: there is none. */
static size_t
nearest_pipe(const fc_site *site, size_t at)
{
    while (site->elements[at].parent != FCI_NONE && !site->elements[at].pipe)
        at = site->elements[at].parent;
    return site->elements[at].pipe ? at : FCI_NONE;
}

/* The nominal size of the nearest pipe, so chosen or in place; INFINITY: it
 * has none. */
static double
nominal_of(const fc_site *site, const char *const *labels, size_t at)
{
    const size_t pipe = nearest_pipe(site, at);
    const struct fci_pipe *p;

    if (pipe == FCI_NONE)
        return INFINITY;
    p = site->elements[pipe].pipe;
    if (labels[pipe])
        return size_called(p->material, labels[pipe])->nominal;
    return p->given->size.given ? p->given->size.nominal : INFINITY;
}

#define SAME_SIZE (1 + 1e-6)

/* Whether a pipe to be chosen that one feeds is larger than it. */
static bool
feeds_larger(const fc_site *site, const char *const *labels, size_t at)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (labels[i] && nearest_pipe(site, site->elements[i].parent) == at
            && nominal_of(site, labels, i)
                   > nominal_of(site, labels, at) * SAME_SIZE)
            return true;
    return false;
}

/* Whether it is under the least supply of a fixture on it. */
static bool
supplies_less(const fc_site *site, const char *const *labels, size_t at)
{
    size_t i;
    int s;

    for (i = 0; i < site->n_fixtures; i++)
        for (s = 0; s < FC_STATES; s++) {
            const struct fci_fixture *f = &site->fixtures[i];
            const double least =
                fci_requirement_of(site, f, (fc_state)s).supply_size;

            if (f->element == at
                && nominal_of(site, labels, at) * SAME_SIZE < least)
                return true;
        }
    return false;
}

static bool
breaks_a_bound(const fc_site *site, const char *const *labels)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if ((site->elements[i].pipe && feeds_larger(site, labels, i))
            || (labels[i] && supplies_less(site, labels, i)))
            return true;
    return false;
}

static const char **
labels_of(const fc_site *site, const fc_size_result *r)
{
    const char **labels = calloc(site->n_elements, sizeof *labels);
    size_t i;

    ck_assert_ptr_nonnull(labels);
    for (i = 0; i < r->n_pipes; i++)
        labels[element_of(site, r->pipes[i].name) - site->elements] =
            r->pipes[i].size;
    return labels;
}

static fc_site *
site_with(const fc_site *site, const char *const *labels)
{
    struct fci_change *changes = calloc(site->n_elements, sizeof *changes);
    fc_site *changed = NULL;
    size_t i, n = 0;

    ck_assert_ptr_nonnull(changes);
    for (i = 0; i < site->n_elements; i++)
        if (labels[i])
            changes[n++] =
                (struct fci_change){ FCI_PIPE, site->elements[i].name, "size",
                                     labels[i], NULL };
    ck_assert_int_eq(fci_site_changed(site, changes, n, &changed, NULL),
                     FC_OK);
    free(changes);
    return changed;
}

/* Whether sizes keep all rules. */
static bool
sizes_do(const fc_site *site, const char *const *labels)
{
    fc_site *with = site_with(site, labels);
    fc_check_result *check = checked_by(with, &by_peak.check);
    bool good = check->works == FC_WORKS && has_pressure(check)
                && !breaks_a_bound(site, labels);
    size_t i;

    for (i = 0; i < site->n_elements && good; i++)
        good = !labels[i] || !too_fast(check, site->elements[i].name);
    fc_check_result_free(check);
    fc_site_free(with);
    return good;
}

static const char *
next_smaller(const fc_site *site, const char *pipe, const char *label)
{
    const struct fci_material *material =
        element_of(site, pipe)->pipe->material;
    const struct fci_size *size = size_called(material, label);

    do
        if (size-- == material->sizes)
            return NULL;
    while (is_on_order(size->label));
    return size->label;
}

START_TEST(none_may_be_smaller)
{
    struct open_building o;
    fc_size_result *r;
    fc_site *site;
    size_t i;

    open_begin(&o, _i);
    r = sized_building(&o.b, &site);
    for (i = 0; i < r->n_pipes && r->feasible; i++) {
        const char **labels = labels_of(site, r);
        const fc_sized_pipe *p = &r->pipes[i];
        const size_t at = (size_t)(element_of(site, p->name) - site->elements);

        ck_assert(i > 0 || sizes_do(site, labels));
        labels[at] = next_smaller(site, p->name, p->size);
        if (labels[at] && p->cost > 0)
            ck_assert_msg(!sizes_do(site, labels), "%s may be %s", p->name,
                          labels[at]);
        free(labels);
    }
    fc_size_result_free(r);
    fc_site_free(site);
    open_end(&o);
}
END_TEST

/* ---- Written and read again --------------------------------------------- */

static void
same_margins(const fc_check_result *a, const fc_check_result *b)
{
    size_t i;
    int s;

    ck_assert_uint_eq(a->n_fixtures, b->n_fixtures);
    for (i = 0; i < a->n_fixtures; i++)
        for (s = 0; s < judged_states(a); s++) {
            const fc_fixture_state *x = &a->fixtures[i].states[s];
            const fc_fixture_state *y = &b->fixtures[i].states[s];

            ck_assert_str_eq(a->fixtures[i].name, b->fixtures[i].name);
            ck_assert_int_eq(x->works, y->works);
            ck_assert_double_eq_tol(x->flowing.low, y->flowing.low, 1e-3);
            ck_assert_double_eq_tol(x->margin.low, y->margin.low, 1e-3);
        }
}

START_TEST(text_reads_back)
{
    struct open_building o;
    fc_size_result *r, *none = NULL;
    fc_site *site, *again;
    fc_check_result *check;
    char *text = NULL;

    open_begin(&o, _i);
    r = sized_building(&o.b, &site);
    if (r->feasible) {
        ck_assert_int_eq(fc_size_text(r, NULL, &text, NULL), FC_OK);
        ck_assert_ptr_null(strstr(text, "= choose"));
        again = site_of(text);
        check = checked_by(again, &by_peak.check);
        ck_assert_int_eq(check->works, r->check->works);
        same_margins(check, r->check);
        ck_assert_int_eq(fc_size(again, NULL, &none, NULL), FC_EINPUT);
        fc_check_result_free(check);
        fc_site_free(again);
        free(text);
    }
    fc_size_result_free(r);
    fc_site_free(site);
    open_end(&o);
}
END_TEST

/* ---- Whatever the order and the units ----------------------------------- */

/* The writer of buildings knows no sizes to be chosen: they are put in behind
 * the headings of their sections. */
static char *
open_text(const struct building *b, const struct building_style *style)
{
    char *plain = building_text(b, style), *text, *out, *at;
    size_t i;

    text = out = malloc(strlen(plain) + 20 * b->n_parts + 1);
    ck_assert_ptr_nonnull(text);
    for (at = plain; *at;) {
        char *end = strchr(at, '\n') + 1;

        memcpy(out, at, (size_t)(end - at));
        out += end - at;
        for (i = 0; i < b->n_parts; i++)
            if (b->parts[i].kind == FCI_PIPE && b->parts[i].as.pipe.choose_size
                && strncmp(at, "[pipe ", 6) == 0
                && strncmp(at + 6, b->parts[i].as.name, (size_t)(end - at) - 8)
                       == 0
                && strlen(b->parts[i].as.name) == (size_t)(end - at) - 8)
                out += sprintf(out, "size = choose\n");
        at = end;
    }
    *out = '\0';
    free(plain);
    return text;
}

START_TEST(order_and_units)
{
    struct open_building o;
    fc_size_result *r, *other;
    fc_site *site, *again;
    int k;

    open_begin(&o, _i);
    r = sized_building(&o.b, &site);
    for (k = 0; k < 2; k++) {
        size_t *order = building_order(o.b.n_parts, o.rng);
        const struct building_style style = { (fc_unit_system)k, order, NULL };
        char *text = open_text(&o.b, &style);

        again = site_of(text);
        other = sized(again, &by_peak);
        ck_assert_uint_eq(other->n_pipes, r->n_pipes);
        ck_assert_int_eq(other->feasible, r->feasible);
        ck_assert(isnan(r->cost) ? isnan(other->cost)
                                 : is_close(other->cost, r->cost));
        ck_assert_int_eq(other->uniform.given, r->uniform.given);
        ck_assert(!r->uniform.given
                  || is_close(other->uniform.cost, r->uniform.cost));
        fc_size_result_free(other);
        fc_site_free(again);
        free(text);
        free(order);
    }
    fc_size_result_free(r);
    fc_site_free(site);
    open_end(&o);
}
END_TEST

/* ---- By hand: uniform friction loss ------------------------------------- */

/* Friction and length of the pipes with a label on the way to a fixture, at
 * the worst end. */
struct way {
    double loss, length;
};

static struct way
way_to(const fc_site *site, const char *const *labels,
       const fc_check_result *check, size_t element, int state)
{
    struct way way = { 0, 0 };

    for (; site->elements[element].parent != FCI_NONE;
         element = site->elements[element].parent) {
        const fc_checked_pipe *p;

        if (!labels[element])
            continue;
        p = checked_pipe(check, site->elements[element].name);
        way.loss += p->states[state].friction_loss.high;
        way.length +=
            site->elements[element].pipe->length.high + p->equivalent_length;
    }
    return way;
}

/* What a fixture has over what it needs, but for the friction of what is to be
 * sized, over the developed length: the least of all, and whose it is. */
static double
least_rate(const fc_site *site, const char *const *labels,
           const fc_check_result *check, const char *fixture, fc_state state,
           double *of_it)
{
    double least = INFINITY;
    size_t i;
    int s;

    for (i = 0; i < site->n_fixtures; i++)
        for (s = 0; s < judged_states(check); s++) {
            const struct way way =
                way_to(site, labels, check, site->fixtures[i].element, s);
            const fc_fixture_state *f = &check->fixtures[i].states[s];
            const double spare =
                (f->required.given ? f->margin.low : f->flowing.low)
                + way.loss;

            if (!(way.length > 0))
                continue;
            least = fmin(least, spare / way.length);
            if ((int)state == s
                && strcmp(check->fixtures[i].name, fixture) == 0)
                *of_it = spare / way.length;
        }
    return least;
}

/* Whether a size is small enough to be within the rate, and else in order. */
static bool
is_within(const fc_check_result *check, const struct fci_pipe *pipe,
          const char *name, double rate)
{
    const fc_checked_pipe *p = checked_pipe(check, name);
    const double length = pipe->length.high + p->equivalent_length;
    int s;

    for (s = 0; s < judged_states(check); s++)
        if (p->states[s].friction_loss.high > rate * length * (1 + CLOSE))
            return false;
    return !too_fast(check, name);
}

/* Whether a size is smaller than those it feeds, or than a fixture on it asks
 * for. */
static bool
is_held_up(const fc_site *site, const char **labels, size_t at,
           const char *label)
{
    const char *const *as = (const char *const *)labels;
    const char *own = labels[at];
    bool held;

    labels[at] = label;
    held = feeds_larger(site, as, at) || supplies_less(site, as, at);
    labels[at] = own;
    return held;
}

static void
expect_uniform_pipe(const fc_site *site, const char **labels, size_t at,
                    double rate)
{
    const struct fci_element *e = &site->elements[at];
    const char *own = labels[at], *smaller = next_smaller(site, e->name, own);
    fc_site *with = site_with(site, (const char *const *)labels);
    fc_check_result *check = checked_by(with, &by_peak.check);

    ck_assert(is_within(check, e->pipe, e->name, rate));
    fc_check_result_free(check);
    fc_site_free(with);
    if (!smaller || is_held_up(site, labels, at, smaller))
        return;
    labels[at] = smaller;
    with = site_with(site, (const char *const *)labels);
    check = checked_by(with, &by_peak.check);
    ck_assert_msg(!is_within(check, e->pipe, e->name, rate),
                  "%s of %s may be %s at %g Pa/m", e->name,
                  site->settings.title, smaller, rate);
    labels[at] = own;
    fc_check_result_free(check);
    fc_site_free(with);
}

/* Reducers, and pumps that hold a pressure, bound what is to spare behind them
 * apart: those buildings are left out. */
static bool
is_direct(const struct building *b)
{
    size_t i;

    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_REDUCER
            || (b->parts[i].kind == FCI_PUMP
                && b->parts[i].as.pump.hold.given))
            return false;
    return true;
}

static bool
has_in_place(const struct building *b)
{
    size_t i;

    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_PIPE && !b->parts[i].as.pipe.choose_size)
            return true;
    return false;
}

/* The rate is found anew for the sizes until it no longer falls: it is never
 * over what they leave, which is the same unless fittings of a larger size
 * count for less. */
static int
expect_uniform(const struct building *b, const fc_site *site,
               const fc_size_result *r)
{
    const fc_uniform_sizes *u = &r->uniform;
    const char **labels = calloc(site->n_elements, sizeof *labels);
    fc_check_result *check;
    double least, of_it = NAN, cost = 0;
    fc_site *with;
    size_t i;

    ck_assert_ptr_nonnull(labels);
    for (i = 0; i < r->n_pipes; i++) {
        const struct fci_element *e = element_of(site, r->pipes[i].name);

        labels[e - site->elements] = r->pipes[i].uniform_size;
        cost += r->pipes[i].uniform_cost;
    }
    ck_assert(is_close(cost, u->cost));
    ck_assert(is_close(u->rate, u->spare / u->developed_length));
    with = site_with(site, (const char *const *)labels);
    check = checked_by(with, &by_peak.check);
    least = least_rate(site, (const char *const *)labels, check, u->fixture,
                       u->state, &of_it);
    ck_assert_double_le(u->rate, least * (1 + CLOSE));
    ck_assert_int_eq(u->works, check->works);
    if (check->works == FC_WORKS && has_pressure(check) && !has_in_place(b))
        ck_assert_double_ge(u->cost, r->cost * (1 - CLOSE));
    fc_check_result_free(check);
    fc_site_free(with);
    for (i = 0; i < site->n_elements; i++)
        if (labels[i])
            expect_uniform_pipe(site, labels, i, u->rate);
    free(labels);
    return is_close(u->rate, least) && is_close(u->rate, of_it);
}

START_TEST(uniform)
{
    int done = 0, same = 0, k;

    for (k = 0; k < 2 * BUILDINGS; k++) {
        struct open_building o;
        fc_size_result *r;
        fc_site *site;

        open_begin(&o, k);
        r = sized_building(&o.b, &site);
        if (is_direct(&o.b) && r->uniform.given) {
            same += expect_uniform(&o.b, site, r);
            done++;
        }
        fc_size_result_free(r);
        fc_site_free(site);
        open_end(&o);
    }
    ck_assert_int_ge(done, BUILDINGS / 4);
    ck_assert_int_ge(same, done - done / 10);
}
END_TEST

/* That sizes are found, and of pipes in many buildings. */
START_TEST(sizes_are_found)
{
    int feasible = 0, k;
    size_t pipes = 0;

    for (k = 0; k < BUILDINGS; k++) {
        struct open_building o;
        fc_size_result *r;
        fc_site *site;

        open_begin(&o, k);
        r = sized_building(&o.b, &site);
        feasible += r->feasible;
        pipes += r->n_pipes;
        fc_size_result_free(r);
        fc_site_free(site);
        open_end(&o);
    }
    ck_assert_int_ge(feasible, BUILDINGS / 3);
    ck_assert_uint_ge(pipes, 6 * BUILDINGS);
}
END_TEST

TCase *
size_properties(void)
{
    TCase *t = tcase_create("buildings");

    tcase_add_counting_test(t, sizes_are_found);
    tcase_add_sampled_test(t, more_supply, BUILDINGS / 2);
    tcase_add_sampled_test(t, looser_limit, BUILDINGS / 2);
    tcase_add_sampled_test(t, fewer_fixtures, BUILDINGS / 2);
    tcase_add_sampled_test(t, chosen_passes, BUILDINGS);
    tcase_add_sampled_test(t, none_may_be_smaller, BUILDINGS);
    tcase_add_sampled_test(t, text_reads_back, BUILDINGS);
    tcase_add_sampled_test(t, order_and_units, BUILDINGS);
    tcase_add_test(t, uniform);
    return t;
}
