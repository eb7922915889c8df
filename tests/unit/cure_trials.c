/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_trials.c -- see unit/cure_trials.h. */
#include "unit/cure_trials.h"

#include <math.h>
#include <stdarg.h>

/* Of the busy period: the same few for what is found and what is tried. */
#define MOST_STATES 20000

struct tally tally;

/* ---- Remedies --------------------------------------------------------- */

void
cured_begin(struct cured *c, fc_site *site, bool peak_only, const char *name)
{
    fc_diagnostics *messages = fc_diagnostics_new();

    *c = (struct cured){ .site = site, .name = name };
    c->options.check.peak_only = peak_only;
    c->options.check.most_states = MOST_STATES;
    ck_assert_ptr_nonnull(site);
    ck_assert_msg(fc_remedies_find(site, &c->options, &c->all, messages)
                      == FC_OK,
                  "%s: %s", name, all_messages(messages));
    ck_assert_uint_eq(fc_diagnostics_count(messages), 0);
    fc_diagnostics_free(messages);
}

void
cured_end(struct cured *c)
{
    fc_remedies_free(c->all);
    fc_site_free(c->site);
}

const fc_remedy *
cured_by(const struct cured *c, fc_lever lever, const char *subject)
{
    size_t i;

    for (i = 0; i < c->all->n_remedies; i++) {
        const fc_remedy *r = &c->all->remedies[i];

        if (r->lever == lever
            && (!subject || (r->subject && !strcmp(r->subject, subject))))
            return r;
    }
    return NULL;
}

size_t
cured_number(const struct cured *c, const fc_remedy *remedy)
{
    return (size_t)(remedy - c->all->remedies);
}

fc_site *
cured_read(const struct cured *c, const fc_remedy *remedy)
{
    char *text = NULL;
    fc_site *site;

    ck_assert_int_eq(
        fc_remedies_text(c->all, cured_number(c, remedy), NULL, &text, NULL),
        FC_OK);
    site = site_of(text);
    fc_site_set_units(site, fc_site_units(c->site));
    ck_assert_msg(verdict_of(c, site) == FC_WORKS,
                  "%s: it does not work with: %s", c->name, remedy->text);
    free(text);
    return site;
}

/* ---- By hand ---------------------------------------------------------- */

fc_site *
changed_site(const fc_site *site, const struct fci_change *changes, size_t n)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *changed = NULL;
    const fc_status status =
        fci_site_changed(site, changes, n, &changed, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    return changed;
}

/* Changes by hand, with their texts. */
struct by_hand {
    struct fci_change list[64];
    size_t n;
    char texts[64 * 40];
    size_t used;
};

static const char *text_of(struct by_hand *h, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static const char *
text_of(struct by_hand *h, const char *format, ...)
{
    char *text = h->texts + h->used;
    va_list args;

    va_start(args, format);
    h->used +=
        1 + (size_t)vsnprintf(text, sizeof h->texts - h->used, format, args);
    va_end(args);
    ck_assert_uint_lt(h->used, sizeof h->texts);
    return text;
}

static void
set(struct by_hand *h, enum fci_kind kind, const char *name, const char *key,
    const char *value)
{
    ck_assert_uint_lt(h->n, COUNT(h->list));
    h->list[h->n++] = (struct fci_change){ kind, name, key, value, NULL };
}

/* As a site file gets it: to 0.1 psi or ft, 1 kPa, 0.01 m. */
static const char *
moved(struct by_hand *h, const fc_site *site, fc_range range, double by,
      bool head)
{
    const bool us = fc_site_units(site) == FC_US;
    const double size = head ? us ? FOOT : 1 : us ? PSI : 1e3;

    return text_of(h, "%.*f..%.*f %s",
                   us     ? 1
                   : head ? 2
                          : 0,
                   (range.low + by) / size,
                   us     ? 1
                   : head ? 2
                          : 0,
                   (range.high + by) / size,
                   head ? us ? "ft" : "m"
                   : us ? "psi"
                        : "kPa");
}

static const struct fci_part *
part_of(const fc_site *site, enum fci_kind kind, const char *name)
{
    const struct fci_part *part = fci_site_find(site, kind, name);

    ck_assert_ptr_nonnull(part);
    return part;
}

static const void *
given_of(const fc_site *site, enum fci_kind kind, const char *name)
{
    return site->given[part_of(site, kind, name) - site->parts];
}

static void
turn_source(struct by_hand *h, const fc_site *site, const char *name,
            double by)
{
    const fc_source *s = given_of(site, FCI_SOURCE, name);

    if (s->kind == FC_TANK)
        set(h, FCI_SOURCE, name, "water level",
            moved(h, site, s->water_level, by, true));
    else if (s->kind == FC_FIXED)
        set(h, FCI_SOURCE, name, "pressure",
            moved(h, site, s->pressure, by, false));
    else {
        set(h, FCI_SOURCE, name, "static",
            moved(h, site, s->static_pressure, by, false));
        if (s->residual.given) {
            /* By as much as the other was, in the digits it was given. */
            const double size = fc_site_units(site) == FC_US ? PSI : 1e3;
            const double tenth = fc_site_units(site) == FC_US ? 10 : 1;
            const fc_range was = s->static_pressure;
            const double low =
                round((was.low + by) / size * tenth) / tenth - was.low / size;
            const double high = round((was.high + by) / size * tenth) / tenth
                                - was.high / size;

            set(h, FCI_SOURCE, name, "residual",
                text_of(h, "%.10g..%.10g %s", s->residual.low / size + low,
                        s->residual.high / size + high,
                        fc_site_units(site) == FC_US ? "psi" : "kPa"));
        }
    }
}

/* A curve with every figure times `factor` and more by `by`, to so many
 * digits. */
static const char *
curve_text(struct by_hand *h, const fc_point *points, size_t n, double factor,
           double by, int digits, const char *unit, double size)
{
    const char *text = "";
    size_t i;

    for (i = 0; i < n; i++)
        text = text_of(h, "%s%s%.15g L/s %.*f %s", text, i ? ", " : "",
                       points[i].x * 1e3, digits,
                       (factor * points[i].y + by) / size, unit);
    return text;
}

static void
turn_pump(struct by_hand *h, const fc_site *site, const char *name, double by)
{
    const fc_pump *p = given_of(site, FCI_PUMP, name);
    const bool us = fc_site_units(site) == FC_US;

    if (p->hold.given)
        set(h, FCI_PUMP, name, "hold", moved(h, site, p->hold, by, false));
    else
        set(h, FCI_PUMP, name, "curve",
            curve_text(h, p->curve, p->n_curve, 1, by, us ? 1 : 2,
                       us ? "ft" : "m", us ? FOOT : 1));
}

static void
turn_loss(struct by_hand *h, const fc_site *site, const char *name,
          double factor)
{
    const struct fci_part *part = part_of(site, FCI_DEVICE, name);
    const fc_device *d = part->data;
    const fc_range p = d->loss.pressure;

    if (d->meter_kind) {
        set(h, part->kind, name, "kind", NULL);
        set(h, part->kind, name, "size", NULL);
    }
    if (d->loss.kind == FC_CURVE_LOSS)
        set(h, part->kind, name, "loss",
            curve_text(h, d->loss.points, d->loss.n_points, factor, 0, 12,
                       "kPa", 1e3));
    else if (d->loss.kind == FC_CONSTANT_LOSS)
        set(h, part->kind, name, "loss",
            text_of(h, "%.15g..%.15g kPa", factor * p.low / 1e3,
                    factor * p.high / 1e3));
    else
        set(h, part->kind, name, "loss",
            text_of(h, "%.15g..%.15g kPa at %.15g L/s", factor * p.low / 1e3,
                    factor * p.high / 1e3, d->loss.flow.nominal * 1e3));
}

/* What flows in an element at peak, with its inputs at the worst. */
static double
flow_of(const fc_site *site, const char *element)
{
    struct fci_judge judge;
    double flow = NAN;
    size_t i;
    int state;

    ck_assert_int_eq(fci_judge_begin(&judge, site, NULL), FC_OK);
    state = judge.converted ? FC_RETROFIT : FC_EXISTING;
    for (i = 0; i < site->n_elements; i++)
        if (strcmp(site->elements[i].name, element) == 0)
            flow = judge.demand[state][i].flow[FCI_WORST];
    fci_judge_end(&judge);
    ck_assert_double_gt(flow, 0);
    return flow;
}

#define NEW_PUMP "put-in-by-hand"

/* The curve of a booster with so much head at that flow: a fifth more without
 * flow, falling with the square; to 0.1 gpm and ft or 0.01 L/s and m. */
static const char *
booster_curve(struct by_hand *h, const fc_site *site, double flow, double head)
{
    const bool us = fc_site_units(site) == FC_US;
    const double x = us ? flow / GPM : flow * 1e3, y = us ? head / FOOT : head;
    const int digits = us ? 1 : 2;
    const char *text = "";
    int i;

    for (i = 0; i < 4; i++)
        text = text_of(h, "%s%s%.*f %s %.*f %s", text, i ? ", " : "", digits,
                       i * x / 2, us ? "gpm" : "L/s", digits,
                       (1.2 - 0.05 * i * i) * y, us ? "ft" : "m");
    return text;
}

/* A flow up to the next 0.1 gpm or 0.01 L/s. */
static double
rounded_up(const fc_site *site, double flow)
{
    const double step = fc_site_units(site) == FC_US ? 0.1 * GPM : 1e-5;

    return step * ceil(flow / step - 1e-6);
}

/* A pump behind the element, with all that hung on it. */
static void
put_booster(struct by_hand *h, const fc_site *site, const char *behind,
            double head)
{
    size_t i;

    set(h, FCI_PUMP, NEW_PUMP, "from", behind);
    set(h, FCI_PUMP, NEW_PUMP, "curve",
        booster_curve(h, site, rounded_up(site, flow_of(site, behind)), head));
    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];
        const size_t n = h->n;

        switch (part->kind) {
        case FCI_PIPE:
            if (fci_same_name(((const fc_pipe *)part->data)->from, behind))
                set(h, part->kind, part->name, "from", NEW_PUMP);
            break;
        case FCI_METER:
        case FCI_BACKFLOW:
        case FCI_DEVICE:
            if (fci_same_name(((const fc_device *)part->data)->from, behind))
                set(h, part->kind, part->name, "from", NEW_PUMP);
            break;
        case FCI_REDUCER:
            if (fci_same_name(((const fc_reducer *)part->data)->from, behind))
                set(h, part->kind, part->name, "from", NEW_PUMP);
            break;
        case FCI_PUMP:
            if (fci_same_name(((const fc_pump *)part->data)->from, behind))
                set(h, part->kind, part->name, "from", NEW_PUMP);
            break;
        case FCI_FIXTURE:
            if (fci_same_name(((const fc_fixture *)part->data)->on, behind))
                set(h, part->kind, part->name, "on", NEW_PUMP);
            break;
        case FCI_DEMAND:
            if (fci_same_name(((const fc_demand *)part->data)->on, behind))
                set(h, part->kind, part->name, "on", NEW_PUMP);
            break;
        case FCI_HEATER:
            if (fci_same_name(((const fc_heater *)part->data)->on, behind))
                set(h, part->kind, part->name, "on", NEW_PUMP);
            break;
        default:
            ck_assert_uint_eq(h->n, n);
        }
    }
}

double
step_of(const struct cured *c, const fc_remedy *remedy)
{
    const bool us = fc_site_units(c->site) == FC_US;

    return remedy->dimension == FC_LENGTH ? us ? 0.1 * FOOT : 0.1
           : us                           ? 0.1 * PSI
                                          : 1e3;
}

bool
is_turned(const fc_remedy *remedy)
{
    switch (remedy->lever) {
    case FC_RAISE_SOURCE:
    case FC_RAISE_REDUCER:
    case FC_RAISE_PUMP:
    case FC_ADD_BOOSTER:
    case FC_LOWER_LOSS:
        return true;
    default:
        return false;
    }
}

fc_site *
turned_to(const struct cured *c, const fc_remedy *remedy, double value)
{
    const fc_site *site = c->site;
    struct by_hand *h = calloc(1, sizeof *h);
    fc_site *changed;

    ck_assert_ptr_nonnull(h);
    switch (remedy->lever) {
    case FC_RAISE_SOURCE:
        turn_source(h, site, remedy->subject, value - remedy->now);
        break;
    case FC_RAISE_REDUCER: {
        const fc_reducer *r = given_of(site, FCI_REDUCER, remedy->subject);

        set(h, FCI_REDUCER, remedy->subject, "set",
            moved(h, site, r->set, value - remedy->now, false));
        break;
    }
    case FC_RAISE_PUMP:
        turn_pump(h, site, remedy->subject, value - remedy->now);
        break;
    case FC_ADD_BOOSTER:
        if (value > 0)
            put_booster(h, site, remedy->subject, value);
        break;
    case FC_LOWER_LOSS:
        turn_loss(h, site, remedy->subject, value / remedy->now);
        break;
    default:
        ck_abort_msg("no lever that is turned");
    }
    changed = changed_site(site, h->list, h->n);
    free(h);
    return changed;
}

/* ---- Judged ----------------------------------------------------------- */

static fc_check_result *
check_of(const struct cured *c, const fc_site *site, bool peak_only)
{
    fc_check_options options = c->options.check;
    fc_check_result *result = NULL;

    options.peak_only = options.peak_only || peak_only;
    /* as the remedies of a main that nobody tested are found */
    options.steady_main = true;
    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    return result;
}

static double
excess_of(const fc_check_result *result, size_t fixture)
{
    const fc_state state = result->converted ? FC_RETROFIT : FC_EXISTING;
    const fc_excess *excess = result->fixtures[fixture].states[state].excess;

    return excess ? excess->pressure.high - excess->maximum : 0;
}

/* Above its maximum, and by more than before: no lever may do that. */
static bool
raises_excess(const struct cured *c, const fc_check_result *result)
{
    size_t i;

    for (i = 0; c->all && i < result->n_fixtures; i++)
        if (excess_of(result, i) > excess_of(c->all->check, i) + 0.01)
            return true;
    return false;
}

/* Nothing at all is above its maximum. */
static bool
is_bearable(const struct cured *c, const fc_site *site)
{
    fc_check_result *result = check_of(c, site, false);
    const bool bearable = result->too_high == FC_WORKS;

    fc_check_result_free(result);
    return bearable;
}

fc_verdict
verdict_of(const struct cured *c, const fc_site *site)
{
    fc_check_result *result = check_of(c, site, true);
    fc_verdict works = result->works;

    /* what fails at peak fails with the flush events too: those take longest
     */
    if (works == FC_WORKS && !c->options.check.peak_only) {
        fc_check_result_free(result);
        result = check_of(c, site, false);
        works = result->works;
    }
    if (works == FC_WORKS && raises_excess(c, result))
        works = FC_WILL_NOT_WORK;
    fc_check_result_free(result);
    return works;
}

/* At peak, with what is on the way. */
static bool
has_its_pressure(struct fci_judgement j)
{
    return j.pressure == FC_WORKS && j.no_pipe == FC_WORKS
           && j.on_way == FC_WORKS;
}

bool
is_served(const struct cured *c, const fc_site *site, const char *name,
          bool *short_one)
{
    struct fci_judge judge;
    bool served = true;
    size_t i;

    ck_assert_int_eq(fci_judge_begin(&judge, site, NULL), FC_OK);
    for (i = 0; i < site->n_fixtures; i++) {
        const bool has = has_its_pressure(
            fci_judge_fixture(&judge, &site->fixtures[i], c->all->state));

        served = served && has;
        if (name && fci_same_name(site->fixtures[i].given->name, name))
            *short_one = !has;
    }
    fci_judge_end(&judge);
    return served;
}

/* ---- Any remedy ------------------------------------------------------- */

/* The pump that feeds what hung on the remedy's element, with so much of its
 * head. */
static fc_site *
with_less_booster(const struct cured *c, const fc_remedy *r, double head)
{
    fc_site *site = cured_read(c, r), *less;
    struct by_hand *h = calloc(1, sizeof *h);
    size_t i;

    ck_assert_ptr_nonnull(h);
    for (i = 0; i < site->n_parts; i++) {
        const fc_pump *p = site->parts[i].data;

        if (site->parts[i].kind == FCI_PUMP
            && !fci_site_find(c->site, FCI_PUMP, p->name))
            set(h, FCI_PUMP, p->name, "curve",
                booster_curve(h, site, p->curve[2].x, head));
    }
    ck_assert_uint_eq(h->n, 1);
    less = changed_site(site, h->list, h->n);
    fc_site_free(site);
    free(h);
    return less;
}

/* One step less than the remedy says. */
static fc_site *
with_less(const struct cured *c, const fc_remedy *r)
{
    const double step = step_of(c, r);

    if (r->lever == FC_ADD_BOOSTER && r->works && r->value > 1.5 * step)
        return with_less_booster(c, r, r->value - step);
    if (r->lever != FC_LOWER_LOSS)
        return turned_to(c, r, r->value - step);
    return turned_to(c, r, fmin(r->now, r->value + step));
}

/* A step less, and the fixture that is said to be is short. */
static void
assert_short(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = with_less(c, r);
    bool is_short = false;

    ck_assert_ptr_nonnull(r->fixture);
    ck_assert_msg(!is_served(c, site, r->fixture, &is_short),
                  "%s: nobody is short with a step less: %s", c->name,
                  r->text);
    ck_assert_msg(is_short, "%s: another is short with a step less: %s",
                  c->name, r->text);
    fc_site_free(site);
}

/* With these changes to what the remedy made of the site it does not do:
 * `what` turned a step back, or taken out. */
static void
assert_fails(const struct cured *c, const fc_remedy *r, const fc_site *site,
             const struct fci_change *list, size_t n, const char *what)
{
    fc_site *less = changed_site(site, list, n);

    ck_assert_msg(verdict_of(c, less) != FC_WORKS,
                  "%s: it does with %s turned back too: %s", c->name, what,
                  r->text);
    tally.less_fails++;
    fc_site_free(less);
}

static void
assert_turned_works(const struct cured *c, const fc_remedy *r)
{
    fc_site *site;

    tally.working[r->lever]++;
    if (r->fixture)
        assert_short(c, r);
    site = with_less(c, r);
    ck_assert_msg(verdict_of(c, site) != FC_WORKS,
                  "%s: a step less does too: %s", c->name, r->text);
    fc_site_free(site);
    tally.less_fails++;
}

/* It does at peak what it is to, but something else is not well. */
static void
assert_turned_serves(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = turned_to(c, r, r->value);

    tally.serving[r->lever]++;
    ck_assert_msg(is_served(c, site, NULL, NULL), "%s: %s", c->name, r->text);
    /* in the flush events a booster goes by all of its curve */
    if (c->options.check.peak_only || r->lever != FC_ADD_BOOSTER)
        ck_assert_msg(verdict_of(c, site) != FC_WORKS, "%s: it works: %s",
                      c->name, r->text);
    if (r->fixture)
        assert_short(c, r);
    fc_site_free(site);
}

/* However far it is turned: by 350 psi or as many m of water, or all loss
 * taken away. */
static void
assert_turned_useless(const struct cured *c, const fc_remedy *r)
{
    const double far = r->dimension == FC_LENGTH ? 250 : 350 * PSI;
    const double now = r->lever == FC_ADD_BOOSTER ? 0 : r->now;
    bool is_short = false;
    fc_site *site = turned_to(c, r, r->lever == FC_LOWER_LOSS ? 0 : now + far);

    tally.useless[r->lever]++;
    ck_assert_ptr_nonnull(r->fixture);
    ck_assert_msg(!is_served(c, site, r->fixture, &is_short) && is_short,
                  "%s: it is of use: %s", c->name, r->text);
    fc_site_free(site);
}

/* It would serve all at peak, were there one. */
static void
assert_not_made(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = turned_to(c, r, r->value);

    ck_assert_int_eq(r->lever, FC_LOWER_LOSS);
    ck_assert(!r->works);
    ck_assert_msg(is_served(c, site, NULL, NULL), "%s: %s", c->name, r->text);
    tally.not_made++;
    fc_site_free(site);
}

static void
assert_turned(const struct cured *c, const fc_remedy *r)
{
    ck_assert(isnan(r->now) == (r->lever == FC_ADD_BOOSTER));
    if (r->reach == FC_NOT_MADE) {
        assert_not_made(c, r);
        return;
    }
    if (r->works)
        assert_turned_works(c, r);
    else if (!isnan(r->value))
        assert_turned_serves(c, r);
    else
        assert_turned_useless(c, r);
}

/* ---- Pipes ------------------------------------------------------------ */

static const struct fci_pipe *
pipe_of(const fc_site *site, const char *name, size_t *element)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe
            && strcmp(site->elements[i].name, name) == 0) {
            *element = i;
            return site->elements[i].pipe;
        }
    ck_abort_msg("no pipe %s", name);
    return NULL;
}

/* The pipe that feeds an element by way of whatever is between; NULL: none. */
static const struct fci_pipe *
feeding_pipe(const fc_site *site, size_t element)
{
    for (element = site->elements[element].parent; element != FCI_NONE;
         element = site->elements[element].parent)
        if (site->elements[element].pipe)
            return site->elements[element].pipe;
    return NULL;
}

#define SAME_SIZE 1e-6 /* m */

static void
assert_put_in(const struct cured *c, const fc_site *site,
              const fc_sized_pipe *pipe)
{
    size_t at = 0;
    const struct fci_pipe *now = pipe_of(site, pipe->name, &at);
    const struct fci_pipe *before = feeding_pipe(site, at);

    ck_assert_str_eq(now->size->label, pipe->size);
    ck_assert_str_eq(now->material->head.name, pipe->material);
    ck_assert_msg(
        (!now->given->c.given || now->given->c.low >= now->material->c_aged)
            && !now->given->inside_diameter.given,
        "%s: %s is new and keeps what the old one had", c->name, pipe->name);
    ck_assert_msg(!before || !before->given->size.given
                      || now->given->size.nominal
                             <= before->given->size.nominal + SAME_SIZE,
                  "%s: %s is larger than what feeds it", c->name, pipe->name);
    ck_assert_double_ge(pipe->cost, 0);
}

/* All the pipes put in but one: that costs less, so it cannot do, unless what
 * it feeds may then no longer be that large. */
static void
assert_needed(const struct cured *c, const fc_site *site, size_t skipped,
              const fc_remedy *r)
{
    const fc_sized_pipe *skip = &r->pipes[skipped];
    size_t at = 0, i, below;
    const fc_pipe *old = pipe_of(c->site, skip->name, &at)->given;
    struct by_hand *h = calloc(1, sizeof *h);
    fc_site *site_without;
    bool allowed = true;

    ck_assert_ptr_nonnull(h);
    set(h, FCI_PIPE, skip->name, "size",
        old->size.given ? text_of(h, "%.15g..%.15g mm", old->size.low * 1e3,
                                  old->size.high * 1e3)
                        : NULL);
    if (strcmp(skip->material, skip->previous_material) != 0)
        set(h, FCI_PIPE, skip->name, "material", old->material);
    if (old->c.given)
        set(h, FCI_PIPE, skip->name, "c",
            text_of(h, "%.15g..%.15g", old->c.low, old->c.high));
    if (old->inside_diameter.given)
        set(h, FCI_PIPE, skip->name, "inside diameter",
            text_of(h, "%.15g..%.15g mm", old->inside_diameter.low * 1e3,
                    old->inside_diameter.high * 1e3));
    site_without = changed_site(site, h->list, h->n);
    for (i = 0; i < r->n_pipes; i++)
        if (i != skipped) {
            const struct fci_pipe *pipe =
                pipe_of(site_without, r->pipes[i].name, &below);
            const struct fci_pipe *before = feeding_pipe(site_without, below);

            allowed = allowed
                      && (!before || !before->given->size.given
                          || pipe->given->size.nominal
                                 <= before->given->size.nominal + SAME_SIZE);
        }
    ck_assert_msg(!allowed || !is_served(c, site_without, NULL, NULL)
                      || !c->options.check.peak_only,
                  "%s: %s need not be replaced: %s", c->name, skip->name,
                  r->text);
    tally.restored += allowed;
    fc_site_free(site_without);
    free(h);
}

/* ---- Valves ----------------------------------------------------------- */

/* The valve of the fixture that limits with a step more than the written site
 * has; its minimum there. */
static double
assert_minimum_needed(const struct cured *c, const fc_site *site,
                      const fc_remedy *r)
{
    const double step = fc_site_units(c->site) == FC_US ? 0.1 * PSI : 1e3;
    struct by_hand *h = calloc(1, sizeof *h);
    double minimum = NAN;
    size_t i;

    ck_assert_ptr_nonnull(h);
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        const fc_valve *v = f->valve[c->all->state];

        if (!fci_same_name(f->given->name, r->fixture))
            continue;
        minimum = v->minimum_flowing.high;
        set(h, FCI_VALVE, v->name, "minimum flowing",
            moved(h, site, fc_exactly(minimum), step, false));
    }
    ck_assert_uint_eq(h->n, 1);
    assert_fails(c, r, site, h->list, h->n, "the minimum");
    free(h);
    return minimum;
}

/* Each valve that is bought is needed: its place with the one that it has
 * does not work. */
static double
assert_no_valve_idle(const struct cured *c, const fc_site *site,
                     const fc_remedy *r)
{
    double bought = 0;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const fc_fixture *was = c->site->fixtures[i].given;
        const fc_fixture *now = site->fixtures[i].given;
        const bool converted =
            now->retrofit && !fci_same_name(now->retrofit, was->retrofit);
        const struct fci_change back = {
            FCI_FIXTURE, was->name, converted ? "retrofit" : "existing",
            converted ? was->retrofit : was->existing, NULL
        };

        if (!converted
            && (now->existing == was->existing
                || (was->existing
                    && fci_same_name(now->existing, was->existing))))
            continue;
        bought += was->count > 0 ? was->count : 1;
        assert_fails(c, r, site, &back, 1, was->name);
    }
    return bought;
}

/* A step more of the minimum that is said to be the most, and it no longer
 * works; nor with a valve fewer. */
static void
assert_most(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = cured_read(c, r);

    tally.working[r->lever]++;
    ck_assert_double_eq_tol(assert_minimum_needed(c, site, r), r->value, 1e-3);
    ck_assert_uint_eq(r->n_purchases, 1);
    ck_assert_double_eq_tol(assert_no_valve_idle(c, site, r),
                            r->purchases[0].count, 1e-9);
    fc_site_free(site);
}

/* Of the fixtures that keep their valves, none could have the new one. */
static void
assert_all_kept(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = cured_read(c, r), *fewer;
    size_t i, kept = 0;

    tally.working[r->lever]++;
    ck_assert_uint_eq(site->n_fixtures, c->site->n_fixtures);
    for (i = 0; i < site->n_fixtures; i++) {
        const fc_fixture *was = c->site->fixtures[i].given;
        const struct fci_change back = { FCI_FIXTURE, was->name, "retrofit",
                                         was->retrofit, NULL };

        ck_assert_str_eq(site->fixtures[i].given->name, was->name);
        if (!was->retrofit || site->fixtures[i].converted)
            continue;
        kept++;
        fewer = changed_site(site, &back, 1);
        ck_assert_msg(
            verdict_of(c, fewer) != FC_WORKS
                || (c->all->works == FC_WORKS && !is_bearable(c, fewer)),
            "%s: %s need not keep its valve: %s", c->name, was->name, r->text);
        tally.less_fails++;
        fc_site_free(fewer);
    }
    ck_assert_uint_gt(kept, 0);
    fc_site_free(site);
}

/* ---- Reducers against too much ----------------------------------------- */

/* The reducer of the building that the text makes, set to so much, a range
 * with it. */
static bool
works_set_to(const struct cured *c, const fc_site *site, const char *reducer,
             double set)
{
    const fc_range now =
        ((const fc_reducer *)given_of(site, FCI_REDUCER, reducer))->set;
    const double low = set - (now.nominal - now.low);
    const double high = set + (now.high - now.nominal);
    char value[80];
    const struct fci_change change = { FCI_REDUCER, reducer, "set", value,
                                       NULL };
    fc_site *changed;
    bool works;

    if (now.low < now.high)
        snprintf(value, sizeof value, "%.15g..%.15g kPa", low / 1e3,
                 high / 1e3);
    else
        snprintf(value, sizeof value, "%.15g kPa", set / 1e3);
    changed = changed_site(site, &change, 1);
    works = verdict_of(c, changed) == FC_WORKS && is_bearable(c, changed);
    fc_site_free(changed);
    return works;
}

/* The window of a reducer; NULL: of the one that is not there. */
static const fc_reducer_window *
window_of(const struct cured *c, const char *reducer)
{
    size_t i;

    for (i = 0; i < c->all->n_windows; i++) {
        const fc_reducer_window *w = &c->all->windows[i];

        if (reducer ? w->reducer && !strcmp(w->reducer, reducer) : !w->reducer)
            return w;
    }
    ck_abort_msg("no window");
    return NULL;
}

static const char *
reducer_put_in(const struct cured *c, const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_parts; i++)
        if (site->parts[i].kind == FCI_REDUCER
            && !fci_site_find(c->site, FCI_REDUCER, site->parts[i].name))
            return site->parts[i].name;
    ck_abort_msg("no reducer was put in");
    return NULL;
}

/* Within its window, and not beyond it. */
static void
assert_reducer(const struct cured *c, const fc_remedy *r)
{
    const bool new = r->lever == FC_ADD_REDUCER;
    const fc_reducer_window *w = window_of(c, new ? NULL : r->subject);
    fc_site *site = cured_read(c, r);
    const char *name = new ? reducer_put_in(c, site) : r->subject;
    const double step = step_of(c, r);

    tally.working[r->lever]++;
    ck_assert(r->value <= w->all.high + 1e-2
              && (new ? r->value >= w->all.low - 1e-2
                      : r->value > w->all.high - step));
    ck_assert(works_set_to(c, site, name, r->value));
    ck_assert_msg(!works_set_to(c, site, name, w->all.high + 1),
                  "%s: a higher setting does too: %s", c->name, r->text);
    if (new && w->all.short_first)
        ck_assert_msg(!works_set_to(c, site, name, w->all.low - 1),
                      "%s: a lower setting does too: %s", c->name, r->text);
    tally.less_fails++;
    fc_site_free(site);
}

/* ---- PRVs of low zones ------------------------------------------------- */

/* The PRV of the written site with a setting a step higher has too much
 * pressure somewhere: no PRV was turned down further, or put in, without need.
 */
static void
assert_prv_needed(const struct cured *c, const fc_site *site,
                  const fc_reducer *reducer, const fc_remedy *r)
{
    const bool us = fc_site_units(site) == FC_US;
    struct by_hand *h = calloc(1, sizeof *h);
    fc_site *higher;

    ck_assert_ptr_nonnull(h);
    set(h, FCI_REDUCER, reducer->name, "set",
        moved(h, site, reducer->set, us ? 0.1 * PSI : 1e3, false));
    higher = changed_site(site, h->list, h->n);
    ck_assert_msg(!is_bearable(c, higher), "%s: %s may be set higher: %s",
                  c->name, reducer->name, r->text);
    tally.less_fails++;
    fc_site_free(higher);
    free(h);
}

/* The lever of the pair a step less far in the written site. */
static void
assert_lever_needed(const struct cured *c, const fc_site *site,
                    const fc_remedy *r)
{
    const double by = -step_of(c, r);
    struct by_hand *h = calloc(1, sizeof *h);
    const char *what = r->purchases[0].what;
    size_t i;

    ck_assert_ptr_nonnull(h);
    if (strcmp(what, "source") == 0)
        turn_source(h, site, r->subject, by);
    else if (strcmp(what, "prv setting") == 0)
        set(h, FCI_REDUCER, r->subject, "set",
            moved(h, site,
                  ((const fc_reducer *)given_of(site, FCI_REDUCER, r->subject))
                      ->set,
                  by, false));
    else if (strcmp(what, "pump") == 0)
        turn_pump(h, site, r->subject, by);
    for (i = 0; i < site->n_parts && strcmp(what, "booster") == 0; i++) {
        const fc_pump *p = site->parts[i].data;

        if (site->parts[i].kind == FCI_PUMP
            && !fci_site_find(c->site, FCI_PUMP, p->name))
            set(h, FCI_PUMP, p->name, "curve",
                booster_curve(h, site, p->curve[2].x, r->value + by));
    }
    if (h->n > 0)
        assert_fails(c, r, site, h->list, h->n, "the head");
    free(h);
}

static bool
buys_prvs(const fc_remedy *r)
{
    const size_t n = r->n_purchases;

    return n > 0 && strncmp(r->purchases[n - 1].what, "prv", 3) == 0
           && (r->lever == FC_COMBINE
                   ? n > 1 || !r->n_pipes
                   : r->lever == FC_ADD_REDUCER && !r->subject);
}

static void
assert_zones(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = cured_read(c, r);
    size_t i, n = 0;

    tally.working[r->lever]++;
    ck_assert_msg(is_bearable(c, site), "%s: %s", c->name, r->text);
    ck_assert_int_eq(r->too_high, FC_WORKS);
    for (i = 0; i < site->n_parts; i++) {
        const fc_reducer *now = site->parts[i].data;
        const fc_reducer *was;

        if (site->parts[i].kind != FCI_REDUCER)
            continue;
        was = fci_site_find(c->site, FCI_REDUCER, now->name)
                  ? given_of(c->site, FCI_REDUCER, now->name)
                  : NULL;
        if (was && was->set.nominal <= now->set.nominal)
            continue;
        assert_prv_needed(c, site, given_of(site, FCI_REDUCER, now->name), r);
        n++;
    }
    ck_assert_uint_gt(n, 0);
    if (r->lever == FC_COMBINE && !isnan(r->value))
        assert_lever_needed(c, site, r);
    fc_site_free(site);
}

/* ---- Two levers --------------------------------------------------------- */

/* What turns a pressure, as it is in a site; NAN: this part does not. */
static double
pressure_of(const fc_site *site, enum fci_kind kind, const char *name)
{
    const void *given = given_of(site, kind, name);
    const fc_source *s = given;
    const fc_pump *p = given;

    if (kind == FCI_REDUCER)
        return ((const fc_reducer *)given)->set.nominal;
    if (kind == FCI_PUMP)
        return p->hold.given ? p->hold.nominal : p->curve[0].y;
    if (kind != FCI_SOURCE)
        return NAN;
    return s->kind == FC_TANK    ? s->water_level.nominal
           : s->kind == FC_FIXED ? s->pressure.nominal
                                 : s->static_pressure.nominal;
}

/* The one of this name in the written site a step back. */
static void
turn_back(struct by_hand *h, const fc_site *site, enum fci_kind kind,
          const char *name)
{
    const bool us = fc_site_units(site) == FC_US;
    const double psi = us ? 0.1 * PSI : 1e3, head = us ? 0.1 * FOOT : 0.1;
    const fc_source *s = given_of(site, kind, name);

    if (kind == FCI_REDUCER)
        set(h, kind, name, "set",
            moved(h, site,
                  ((const fc_reducer *)given_of(site, kind, name))->set, -psi,
                  false));
    else if (kind == FCI_PUMP)
        turn_pump(h, site, name,
                  ((const fc_pump *)given_of(site, kind, name))->hold.given
                      ? -psi
                      : -head);
    else
        turn_source(h, site, name, s->kind == FC_TANK ? -head : -psi);
}

/* The loss of a device at peak, worst case. */
static double
loss_of(const struct cured *c, const char *name)
{
    const double flow = flow_of(c->site, name);
    size_t i = 0;

    while (strcmp(c->site->elements[i].name, name) != 0)
        i++;
    return fci_element_loss_at(&c->site->elements[i], flow, FCI_WORST);
}

/* The loss that the text gives a device, which is shown no higher than it is:
 * the value of the remedy where that is about this device, else what goes down
 * from what it is by steps; NAN: the text has none. */
static double
loss_said(const struct cured *c, const fc_remedy *r, const char *name)
{
    const bool us = fc_site_units(c->site) == FC_US;
    const double step = us ? 0.1 * PSI : 1e3;
    char lead[120];
    const char *at;
    double shown;

    snprintf(lead, sizeof lead, "eplace %s with one losing at most ", name);
    at = strstr(r->text, lead);
    if (!at)
        return NAN;
    shown = strtod(at + strlen(lead), NULL) * (us ? PSI : 1e3);
    if (fci_same_name(r->subject, name)) {
        ck_assert_double_ge(r->value, shown - 1e-3);
        ck_assert_double_lt(r->value, shown + step);
        return r->value;
    }
    return loss_of(c, name)
           - step * floor((loss_of(c, name) - shown) / step + 1e-6);
}

/* A figure of the site's own units in steps of 0.1 psi or 1 kPa, small ones
 * of two digits. */
static void
assert_round(const struct cured *c, const fc_remedy *r, double pressure)
{
    const fc_unit_system units = fc_site_units(c->site);
    const double x = fc_from_si(units, FC_PRESSURE, pressure);
    double step = units == FC_US ? 0.1 : 1;

    while (x > 0 && x < 10 * step * (1 - 1e-9))
        step /= 10;
    ck_assert_msg(fabs(x / step - round(x / step)) < 1e-6,
                  "%s: %.10g is written: %s", c->name, x, r->text);
}

/* What a device is written with is round. */
static void
assert_loss_round(const struct cured *c, const fc_site *site,
                  const fc_remedy *r, const char *name)
{
    const fc_device *d = part_of(site, FCI_DEVICE, name)->data;
    size_t i;

    if (d->loss.kind == FC_CURVE_LOSS)
        for (i = 0; i < d->loss.n_points; i++)
            assert_round(c, r, d->loss.points[i].y);
    else
        assert_round(c, r, d->loss.pressure.high);
}

/* A device of the pair with a step more of loss than is said, another with as
 * much as is said (the written site has it rounded to less), all else as it is
 * written: it no longer works. */
static void
assert_loss_needed(const struct cured *c, const fc_site *site,
                   const fc_remedy *r, const char *name)
{
    const double step = fc_site_units(c->site) == FC_US ? 0.1 * PSI : 1e3;
    struct by_hand *h = calloc(1, sizeof *h);
    struct fci_change back[6] = { 0 };
    size_t i, n;

    ck_assert_ptr_nonnull(h);
    for (i = 0; i < c->site->n_parts; i++) {
        const char *other = c->site->parts[i].name;
        const double loss = other ? loss_said(c, r, other) : (double)NAN;

        if (!isnan(loss))
            turn_loss(h, c->site, other,
                      (loss + (strcmp(other, name) == 0 ? step : 0))
                          / loss_of(c, other));
    }
    /* kind and size are no longer in the written site */
    for (i = n = 0; i < h->n; i++)
        if (h->list[i].value)
            back[n++] = h->list[i];
    ck_assert_uint_ge(n, 1);
    assert_fails(c, r, site, back, n, name);
    free(h);
}

static void
assert_pressure_needed(const struct cured *c, const fc_site *site,
                       const fc_remedy *r, const struct fci_part *part)
{
    struct by_hand *h = calloc(1, sizeof *h);

    ck_assert_ptr_nonnull(h);
    turn_back(h, site, part->kind, part->name);
    assert_fails(c, r, site, h->list, h->n, part->name);
    free(h);
}

static void
assert_pipes(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = cured_read(c, r);
    double cost = 0;
    size_t i;

    tally.working[r->lever]++;
    ck_assert_uint_gt(r->n_pipes, 0);
    for (i = 0; i < r->n_pipes; i++) {
        assert_put_in(c, site, &r->pipes[i]);
        cost += r->pipes[i].cost;
    }
    ck_assert_double_eq_tol(cost, r->cost, 1e-9 * cost);
    for (i = 0; i < r->n_pipes; i++)
        if (r->pipes[i].cost > 0)
            assert_needed(c, site, i, r);
    for (i = 0; i < c->site->n_parts; i++) {
        const char *name = c->site->parts[i].name;

        if (name && !isnan(loss_said(c, r, name))) {
            assert_loss_needed(c, site, r, name);
            assert_loss_round(c, site, r, name);
            tally.with_device++;
        }
    }
    fc_site_free(site);
}

static bool
buys(const fc_remedy *r, const char *what)
{
    size_t i;

    for (i = 0; i < r->n_purchases; i++)
        if (strcmp(r->purchases[i].what, what) == 0)
            return true;
    return false;
}

/* The pump that was put in, with a step less of head. */
static void
assert_booster_needed(const struct cured *c, const fc_site *site,
                      const fc_remedy *r)
{
    const double step = fc_site_units(c->site) == FC_US ? 0.1 * FOOT : 0.1;
    struct by_hand *h = calloc(1, sizeof *h);
    size_t i;

    ck_assert_ptr_nonnull(h);
    for (i = 0; i < site->n_parts; i++) {
        const fc_pump *p = site->parts[i].data;

        if (site->parts[i].kind == FCI_PUMP
            && !fci_site_find(c->site, FCI_PUMP, p->name))
            set(h, FCI_PUMP, p->name, "curve",
                booster_curve(h, site, p->curve[2].x, p->curve[2].y - step));
    }
    ck_assert_uint_eq(h->n, 1);
    assert_fails(c, r, site, h->list, h->n, "the head");
    free(h);
}

/* Each of the two a step back, and it no longer works. */
static void
assert_pair(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = cured_read(c, r);
    size_t i, n = 0;

    tally.pairs++;
    ck_assert_uint_eq(r->n_purchases, 2);
    for (i = 0; i < c->site->n_parts; i++) {
        const struct fci_part *part = &c->site->parts[i];

        if (part->name && !isnan(loss_said(c, r, part->name))) {
            assert_loss_needed(c, site, r, part->name);
            assert_loss_round(c, site, r, part->name);
            n++;
        } else if ((part->kind == FCI_SOURCE || part->kind == FCI_REDUCER
                    || part->kind == FCI_PUMP)
                   && pressure_of(site, part->kind, part->name)
                          != pressure_of(c->site, part->kind, part->name)) {
            assert_pressure_needed(c, site, r, part);
            n++;
        }
    }
    if (buys(r, "booster")) {
        assert_booster_needed(c, site, r);
        n++;
    }
    if (buys(r, "valve")) {
        assert_minimum_needed(c, site, r);
        n++;
    }
    ck_assert_msg(n == 2, "%s: %zu of two: %s", c->name, n, r->text);
    fc_site_free(site);
}

/* ---- All -------------------------------------------------------------- */

static void
assert_refused(const struct cured *c, const fc_remedy *r)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL;

    ck_assert_int_eq(
        fc_remedies_text(c->all, cured_number(c, r), NULL, &text, messages),
        FC_ESTATE);
    ck_assert_ptr_null(text);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    fc_diagnostics_free(messages);
}

void
assert_remedy(const struct cured *c, const fc_remedy *r)
{
    ck_assert(r->text && r->text[0] && r->text[strlen(r->text) - 1] == '.');
    if (!r->works)
        assert_refused(c, r);
    if (is_turned(r)) {
        if (r->works)
            fc_site_free(cured_read(c, r));
        assert_turned(c, r);
    } else if (r->lever == FC_ADD_RISER)
        assert_second(c, r);
    else if (!r->works)
        tally.useless[r->lever]++;
    else if (r->lever == FC_MOVE_FLOORS)
        assert_moved(c, r);
    else if (r->lever == FC_THROTTLE_STOPS)
        assert_throttled(c, r);
    else if (buys_prvs(r))
        assert_zones(c, r);
    else if (r->lever == FC_LOWER_MINIMUM)
        assert_most(c, r);
    else if (r->lever == FC_KEEP_VALVES)
        assert_all_kept(c, r);
    else if (r->lever == FC_LOWER_REDUCER || r->lever == FC_ADD_REDUCER)
        assert_reducer(c, r);
    else if (r->lever == FC_COMBINE && r->n_pipes == 0)
        assert_pair(c, r);
    else
        assert_pipes(c, r);
}

/* ---- Floors ----------------------------------------------------------- */

/* What check finds of a flush valve at this height; NULL: there is none. */
static const fc_checked_fixture *
least_at(const struct cured *c, const fc_check_result *check, double height)
{
    const fc_checked_fixture *least = NULL;
    size_t i;

    for (i = 0; i < check->n_fixtures; i++) {
        const fc_checked_fixture *f = &check->fixtures[i];

        if (!c->site->fixtures[i].kind->flushes || f->elevation > height + 1e-9
            || f->elevation < height - 0.05)
            continue;
        if (!least
            || f->states[c->all->state].flowing.low
                   < least->states[c->all->state].flowing.low)
            least = f;
    }
    return least;
}

static void
assert_floors(const struct cured *c)
{
    const double reserve = c->site->settings.reserve.nominal;
    fc_check_result *check = check_of(c, c->site, true);
    size_t i;

    for (i = 0; i < c->all->n_floors; i++) {
        const fc_floor_minimum *floor = &c->all->floors[i];
        const fc_checked_fixture *f = least_at(c, check, floor->elevation);

        ck_assert_ptr_nonnull(f);
        ck_assert_double_eq_tol(
            floor->most, f->states[c->all->state].flowing.low - reserve, 1e-6);
        ck_assert(i == 0 || floor->elevation < floor[-1].elevation - 0.05);
        tally.floors++;
    }
    for (i = 0; i < check->n_fixtures; i++)
        if (c->site->fixtures[i].kind->flushes) {
            size_t k;

            for (k = 0; k < c->all->n_floors; k++)
                if (check->fixtures[i].elevation
                        <= c->all->floors[k].elevation + 1e-9
                    && check->fixtures[i].elevation
                           >= c->all->floors[k].elevation - 0.05)
                    break;
            ck_assert_uint_lt(k, c->all->n_floors);
        }
    fc_check_result_free(check);
}

void
assert_remedies(const struct cured *c)
{
    fc_check_result *check = check_of(c, c->site, false);
    size_t i;

    if (!c->all->untested)
        ck_assert_int_eq(c->all->works, check->works);
    fc_check_result_free(check);
    ck_assert(c->all->n_remedies == 0 || c->all->works != FC_WORKS
              || c->all->too_high != FC_WORKS);
    for (i = 0; i < c->all->n_remedies; i++)
        assert_remedy(c, &c->all->remedies[i]);
    assert_floors(c);
    assert_gains(c);
}
