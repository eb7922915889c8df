/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_new_pipe.c -- floors fed from another riser, a second pipe
 * beside those in place, and stops throttled.
 *
 * 27.0 gpm, the flow of one closet of 10 units by the IPC's demand table, lose
 * 0.7348 psi in 100 ft of a bore of 2 in with C = 140: see
 * unit/cure_by_hand.c.  Fittings that are not listed count as 20 to 75% of the
 * length (tables/usual.ini), so that a new pipe loses 1.2859 psi in 100 ft at
 * the worst.
 */
#include "site/pipe_size.h"
#include "unit/cure_suite.h"
#include "unit/cure_trials.h"

#include <math.h>

#define SITE "[site]\ncode minimum = no\nmaximum static = 200 psi\n"
#define FEW 24 /* changes by hand */

/* ---- Any building ------------------------------------------------------ */

static double
elevation_of(const fc_site *site, size_t fixture)
{
    double height = site->fixtures[fixture].given->rise.nominal;
    size_t at = site->fixtures[fixture].element;

    for (; at != FCI_NONE; at = site->elements[at].parent)
        height += site->elements[at].rise.nominal;
    return height;
}

/* A move changes no elevation. */
static void
assert_same_elevations(const struct cured *c, const fc_site *site)
{
    size_t i;

    ck_assert_uint_eq(site->n_fixtures, c->site->n_fixtures);
    for (i = 0; i < site->n_fixtures; i++)
        ck_assert_msg(fabs(elevation_of(site, i) - elevation_of(c->site, i))
                          < 1e-6,
                      "%s: %s is %.9g m up, and was %.9g", c->name,
                      site->fixtures[i].given->name, elevation_of(site, i),
                      elevation_of(c->site, i));
}

static bool
is_new(const struct cured *c, const struct fci_part *part)
{
    return part->kind == FCI_PIPE
           && !fci_site_find(c->site, FCI_PIPE, part->name);
}

void
assert_moved(const struct cured *c, const fc_remedy *r)
{
    const double step = fc_site_units(c->site) == FC_US ? FOOT : 0.3;
    fc_site *site = cured_read(c, r), *longer;
    struct fci_change list[FEW];
    char text[FEW][60];
    double least = INFINITY;
    size_t i, n = 0;

    tally.working[r->lever]++;
    assert_same_elevations(c, site);
    for (i = 0; i < site->n_parts; i++) {
        const fc_pipe *pipe = site->parts[i].data;

        if (!is_new(c, &site->parts[i]))
            continue;
        ck_assert_uint_lt(n, FEW);
        snprintf(text[n], sizeof text[n], "%.12g..%.12g m", pipe->length.low,
                 pipe->length.high + step);
        list[n] = (struct fci_change){ FCI_PIPE, pipe->name, "length", text[n],
                                       NULL };
        n++;
        least = fmin(least, pipe->length.high - pipe->length.low);
        ck_assert_double_le(pipe->length.high, r->new_pipe + 1e-6);
    }
    ck_assert_uint_gt(n, 0);
    ck_assert(r->gain > 0 && r->gains);
    if (least < 198.5 * step) { /* no more than 200 steps are tried */
        longer = changed_site(site, list, n);
        ck_assert_msg(verdict_of(c, longer) != FC_WORKS,
                      "%s: a longer pipe does too: %s", c->name, r->text);
        tally.less_fails++;
        fc_site_free(longer);
    }
    fc_site_free(site);
}

/* ---- A second pipe beside any stretch, by hand ------------------------- */

/* What a new pipe of the material has where the old one is. */
static const char *
c_of_new(const fc_site *site, const struct fci_pipe *pipe)
{
    switch (fci_pipe_condition(site, pipe)) {
    case FC_NEW:
        return NULL;
    case FC_AGED:
        return pipe->material->c_put_in;
    default:
        return pipe->material->c_put_in_unknown;
    }
}

/* Beside the elements above `moved` (FCI_NONE: the fixture), `beside` of them;
 * NULL: they are not all pipes.  *length is theirs. */
static fc_site *
with_second(const struct cured *c, size_t fixture, size_t moved, size_t beside,
            double *length)
{
    const fc_site *site = c->site;
    struct fci_change list[8];
    char texts[2][80];
    double low[2] = { 0 }, high[2] = { 0 };
    size_t at = moved == FCI_NONE ? site->fixtures[fixture].element
                                  : site->elements[moved].parent;
    const struct fci_pipe *first = NULL;
    size_t i, n = 0;

    *length = 0;
    for (i = 0; i < beside; i++, at = site->elements[at].parent) {
        const fc_pipe *given;

        if (at == FCI_NONE || !site->elements[at].pipe)
            return NULL;
        first = site->elements[at].pipe;
        given = site->given[site->elements[at].part - site->parts];
        *length += given->length.nominal;
        low[0] += given->length.low;
        high[0] += given->length.high;
        if (given->rise.given) {
            low[1] += given->rise.low;
            high[1] += given->rise.high;
        }
    }
    if (at == FCI_NONE || !first->size)
        return NULL;
    for (i = 0; i < 2; i++)
        snprintf(texts[i], sizeof texts[i], "%.15g..%.15g m", low[i], high[i]);
    list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "from",
                                     site->elements[at].name, NULL };
    list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "material",
                                     first->material->head.name, NULL };
    list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "size",
                                     first->size->label, NULL };
    list[n++] =
        (struct fci_change){ FCI_PIPE, "by-hand", "length", texts[0], NULL };
    list[n++] =
        (struct fci_change){ FCI_PIPE, "by-hand", "rise", texts[1], NULL };
    if (fci_pipe_condition(site, first) != FC_NEW)
        list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "c",
                                         c_of_new(site, first), NULL };
    if (moved == FCI_NONE)
        list[n++] = (struct fci_change){ FCI_FIXTURE,
                                         site->fixtures[fixture].given->name,
                                         "on", "by-hand", NULL };
    else
        list[n++] = (struct fci_change){ site->elements[moved].part->kind,
                                         site->elements[moved].name, "from",
                                         "by-hand", NULL };
    return changed_site(site, list, n);
}

/* No stretch on the way to the fixture that is shorter does. */
static void
assert_no_shorter(const struct cured *c, const fc_remedy *r, size_t fixture)
{
    const double most = r->works ? r->new_pipe * (1 - 1e-9) : INFINITY;
    size_t moved = FCI_NONE, beside;

    do {
        for (beside = 1;; beside++) {
            double length;
            fc_site *site = with_second(c, fixture, moved, beside, &length);

            if (!site)
                break;
            if (length < most) {
                ck_assert_msg(!is_served(c, site, NULL, NULL)
                                  || verdict_of(c, site) != FC_WORKS,
                              "%s: %zu pipes (%.9g m) beside what feeds %s "
                              "do too: %s",
                              c->name, beside, length,
                              moved == FCI_NONE
                                  ? r->fixture
                                  : c->site->elements[moved].name,
                              r->text);
                tally.stretches++;
            }
            fc_site_free(site);
        }
        moved = moved == FCI_NONE ? c->site->fixtures[fixture].element
                                  : c->site->elements[moved].parent;
    } while (c->site->elements[moved].parent != FCI_NONE);
}

void
assert_second(const struct cured *c, const fc_remedy *r)
{
    size_t i;

    if (r->works) {
        fc_site *site = cured_read(c, r);

        tally.working[r->lever]++;
        assert_same_elevations(c, site);
        ck_assert(r->gain > 0 && r->new_pipe > 0);
        fc_site_free(site);
    } else
        tally.useless[r->lever]++;
    for (i = 0; i < c->site->n_fixtures; i++)
        if (fci_same_name(c->site->fixtures[i].given->name, r->fixture))
            assert_no_shorter(c, r, i);
}

/* ---- What new pipe gains -------------------------------------------------
 */

static size_t
fixture_named(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (fci_same_name(site->fixtures[i].given->name, name))
            return i;
    ck_abort_msg("no fixture %s", name);
    return FCI_NONE;
}

/* At peak, at the worst end. */
static double
flowing_of(const struct cured *c, const fc_site *site, const char *name)
{
    const fc_check_options options = { .peak_only = true };
    fc_check_result *result = NULL;
    double pressure;

    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    pressure = result->fixtures[fixture_named(site, name)]
                   .states[c->all->state]
                   .flowing.low;
    fc_check_result_free(result);
    return pressure;
}

/* While those valves flush that starve it. */
static double
together_of(const struct cured *c, const fc_site *site, const char *name)
{
    const size_t at = fixture_named(site, name);
    const fc_ladder *ladder =
        &c->all->check->fixtures[at].states[c->all->state].ladder;
    fc_flush_result *result = NULL;
    double pressure;

    ck_assert_int_eq(fc_flush(site, c->all->state, ladder->first,
                              ladder->n_first, &result, NULL),
                     FC_OK);
    pressure = result->fixtures[at].pressure.nominal;
    fc_flush_result_free(result);
    return pressure;
}

static void
assert_larger(const struct cured *c, const fc_pipe_gain *gain)
{
    const struct fci_part *part =
        fci_site_find(c->site, FCI_PIPE, gain->where);
    struct fci_change list[3];
    const struct fci_pipe *pipe = NULL;
    size_t i, n = 0;
    fc_site *site;

    ck_assert_ptr_nonnull(part);
    for (i = 0; i < c->site->n_elements; i++)
        if (c->site->elements[i].part == part)
            pipe = c->site->elements[i].pipe;
    ck_assert(pipe && pipe->size);
    list[n++] =
        (struct fci_change){ FCI_PIPE, gain->where, "size", gain->size, NULL };
    list[n++] = (struct fci_change){ FCI_PIPE, gain->where, "c",
                                     c_of_new(c->site, pipe), NULL };
    list[n++] = (struct fci_change){ FCI_PIPE, gain->where, "inside diameter",
                                     NULL, NULL };
    site = changed_site(c->site, list, n);
    ck_assert_double_eq_tol(gain->gain,
                            flowing_of(c, site, c->all->governing)
                                - flowing_of(c, c->site, c->all->governing),
                            1);
    if (!isnan(gain->together))
        ck_assert_double_eq_tol(
            gain->together,
            together_of(c, site, c->all->governing)
                - together_of(c, c->site, c->all->governing),
            1);
    tally.larger++;
    fc_site_free(site);
}

/* Its ends stand in its name. */
static void
assert_loop(const struct cured *c, const fc_pipe_gain *gain)
{
    const char *to = strstr(gain->where, " to ");
    char from[80], length[40];
    struct fci_change list[6];
    const struct fci_pipe *like = NULL;
    size_t i, n = 0;
    fc_site *site;

    ck_assert(to && isnan(gain->gain));
    snprintf(from, sizeof from, "%.*s", (int)(to - gain->where), gain->where);
    snprintf(length, sizeof length, "%.15g m", gain->length);
    for (i = 0; i < c->site->n_elements; i++)
        if (strcmp(c->site->elements[i].name, from) == 0)
            like = c->site->elements[i].pipe;
    if (!like || !like->size)
        return;
    list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "from", from, NULL };
    list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "to", to + 4, NULL };
    list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "material",
                                     like->material->head.name, NULL };
    list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "size",
                                     like->size->label, NULL };
    list[n++] =
        (struct fci_change){ FCI_PIPE, "by-hand", "length", length, NULL };
    if (c_of_new(c->site, like))
        list[n++] = (struct fci_change){ FCI_PIPE, "by-hand", "c",
                                         c_of_new(c->site, like), NULL };
    site = changed_site(c->site, list, n);
    ck_assert_double_eq_tol(gain->together,
                            together_of(c, site, c->all->governing)
                                - together_of(c, c->site, c->all->governing),
                            1);
    tally.looped++;
    fc_site_free(site);
}

void
assert_gains(const struct cured *c)
{
    size_t i;

    for (i = 0; i < c->all->n_gains; i++) {
        const fc_pipe_gain *gain = &c->all->gains[i];

        ck_assert(gain->length > 0 && gain->where);
        if (gain->way == FC_LARGER_PIPE)
            assert_larger(c, gain);
        else if (gain->way == FC_LOOP)
            assert_loop(c, gain);
    }
}

/* ---- Ends that may be joined ----------------------------------------------
 */

#define BRANCH(name, length)                                                  \
    "[pipe " name "]\nfrom = riser\nsize = 1-1/4 in\nlength = " length        \
    "\n[fixture wc-" name "]\non = " name "\nkind = water closet, flush "     \
    "valve\ncount = 3\nsupply size = 1 in\nexisting = v\n"

/* Three branches of one riser, and what each way to join two of them gains. */
START_TEST(ends_of_branches)
{
    char text[1500];
    struct cured c;
    size_t i, loops = 0;

    snprintf(
        text, sizeof text,
        SITE
        "material = copper L\n[source s]\nkind = fixed\n"
        "pressure = %d psi\n[pipe riser]\nfrom = s\nsize = 2 in\n"
        "length = 40 ft\nrise = 20 ft\n" BRANCH("a", "40 ft") BRANCH("b",
                                                                     "25 ft")
            BRANCH("c",
                   "30 ft") "[valve v]\nminimum flowing = 25 psi\n"
                            "flow = 20 gpm at 25 psi\nfull flush = 1.6 gal\n",
        37 + 2 * _i);
    cured_begin(&c, site_of(text), false, "ends of branches");
    ck_assert_int_ne(c.all->works, FC_WORKS);
    assert_gains(&c);
    for (i = 0; i < c.all->n_gains; i++)
        if (c.all->gains[i].way == FC_LOOP) {
            loops++;
            ck_assert_double_gt(c.all->gains[i].together, 0);
        }
    ck_assert_uint_eq(loops, 2);
    /* the nearer one: 40 and 25 ft, from a to b */
    ck_assert_str_eq(c.all->governing, "wc-a");
    for (i = 0; i < c.all->n_gains; i++)
        if (!strcmp(c.all->gains[i].where, "a to b"))
            ck_assert_double_eq_tol(c.all->gains[i].length, 65 * FOOT, 1e-9);
    cured_end(&c);
}
END_TEST

/* ---- Stops ------------------------------------------------------------- */

static double
stop_loss(const fc_site *site, size_t fixture)
{
    const fc_loss *stop = &site->fixtures[fixture].given->stop;

    return stop->kind == FC_SQUARE_LOSS ? stop->pressure.nominal : 0;
}

/* A stop that takes so much less, at the flow at which it is told. */
static void
ease_stop(const struct cured *c, const fc_site *site, size_t fixture,
          double less, char text[80], struct fci_change *change)
{
    const fc_loss *was = &c->site->fixtures[fixture].given->stop;
    const fc_loss *now = &site->fixtures[fixture].given->stop;
    const double part = was->kind == FC_SQUARE_LOSS
                            ? now->flow.nominal / was->flow.nominal
                            : 0;

    snprintf(text, 80, "%.15g..%.15g kPa at %.15g L/s",
             fmax(now->pressure.low - less, part * part * was->pressure.low)
                 / 1e3,
             fmax(now->pressure.high - less, part * part * was->pressure.high)
                 / 1e3,
             now->flow.nominal * 1e3);
    *change =
        (struct fci_change){ FCI_FIXTURE, site->fixtures[fixture].given->name,
                             "stop", text, NULL };
}

/* With every stop a step less, or one of them as it was, it does not work;
 * what is throttled has its pressure. */
void
assert_throttled(const struct cured *c, const fc_remedy *r)
{
    fc_site *site = cured_read(c, r), *less;
    struct fci_change list[FEW];
    char texts[FEW][80];
    size_t i, n = 0, fixtures[FEW];

    tally.working[r->lever]++;
    ck_assert(is_served(c, site, NULL, NULL));
    for (i = 0; i < site->n_fixtures; i++) {
        const double more = stop_loss(site, i);

        if (fabs(more - stop_loss(c->site, i)) < 1)
            continue;
        ck_assert_uint_lt(n, FEW);
        if (more < r->value - 1) /* it has no more to give */
            continue;
        ease_stop(c, site, i, step_of(c, r), texts[n], &list[n]);
        fixtures[n++] = i;
    }
    ck_assert_uint_gt(n, 0);
    less = changed_site(site, list, n);
    ck_assert_msg(verdict_of(c, less) != FC_WORKS,
                  "%s: a step less does too: %s", c->name, r->text);
    tally.less_fails++;
    fc_site_free(less);
    for (i = 0; n > 1 && i < n; i++) {
        ease_stop(c, site, fixtures[i], INFINITY, texts[0], &list[0]);
        less = changed_site(site, list, 1);
        ck_assert_msg(verdict_of(c, less) != FC_WORKS,
                      "%s: %s need not be throttled: %s", c->name,
                      site->fixtures[fixtures[i]].given->name, r->text);
        fc_site_free(less);
    }
    fc_site_free(site);
}

/* ---- By hand ----------------------------------------------------------- */

#define WIDE(name, from)                                                      \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nlength = 30 ft\nc = 140\ninside diameter = 1000 in\n"
#define RUN(name, from)                                                       \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nlength = 100 ft\nc = 140\ninside diameter = 2 in\n"
#define CLOSET(name, on)                                                      \
    "[fixture " name "]\non = " on "\nkind = water closet, flush valve\n"     \
    "supply size = 1 in\nexisting = v\n"
#define LAVATORY(name, on) "[fixture " name "]\non = " on "\nkind = lavatory\n"
#define VALVE "[valve v]\nminimum flowing = 40 psi\n"
#define RISE "rise = 30 ft\n"

/* Riser a stands behind a PRV at 45 psi: 45 - 12.993 - 0.7348 = 31.27 psi at
 * the closet, which needs 40.  Riser b has 54.6 - 12.993 = 41.607 psi there,
 * 0.8722 more than the closet and its run take: as much as 67.8 ft of new pipe
 * lose.  By one foot it gains 54.6 - 45 - 0.0129 psi. */
START_TEST(another_riser)
{
    struct cured c;
    const fc_remedy *r;
    fc_site *site;

    cured_begin(
        &c,
        site_of(SITE "[source s]\nkind = fixed\npressure = 54.6 psi\n"
                     "[reducer prv]\nfrom = s\nset = 45 psi\nloss = 0 psi\n"
                     "fall-off = 0 psi at 60 gpm\n" WIDE("a", "prv")
                         RISE WIDE("b", "s") RISE RUN("run", "a")
                             LAVATORY("lav", "b") CLOSET("wc", "run") VALVE),
        true, "another riser");
    r = cured_by(&c, FC_MOVE_FLOORS, NULL);
    ck_assert(r && r->works);
    ck_assert_double_eq_tol(r->new_pipe, 67 * FOOT, 1e-9);
    ck_assert_double_eq_tol(r->gain, 9.587 * PSI, 0.002 * PSI);
    ck_assert_str_eq(r->gains, "wc");
    ck_assert_str_eq(
        r->text,
        "Feed run from b (now a), by up to 67.0 ft of new pipe, of the bore "
        "of run (how far apart they are is not known here: measure); limited "
        "by wc. wc gains 9.6 psi at peak by the shortest.");
    site = cured_read(&c, r);
    fc_site_free(site);
    assert_remedies(&c);
    cured_end(&c);
}
END_TEST

/* With no other riser on that floor there is nothing to feed it from: b ends
 * 10 ft below, c hangs on a itself and d on the same floor's pipe. */
START_TEST(no_other_riser)
{
    struct cured c;

    cured_begin(
        &c,
        site_of(SITE "[source s]\nkind = fixed\npressure = 50 psi\n" WIDE(
            "a", "s") RISE WIDE("b", "s") "rise = 20 ft\n" WIDE("c", "a")
                    RUN("d", "a") RUN("run", "d") LAVATORY("lav", "b")
                        LAVATORY("lav-c", "c") CLOSET("wc", "run") VALVE),
        true, "no other riser");
    ck_assert_int_ne(c.all->works, FC_WORKS);
    ck_assert_ptr_null(cured_by(&c, FC_MOVE_FLOORS, NULL));
    cured_end(&c);
}
END_TEST

/* Main and closet: 100 units behind the main ask 67.5 gpm by the IPC's demand
 * table (E103.3(3)), so that its 100 ft lose 0.7348 (67.5 / 27)^1.851852 =
 * 4.010 psi; a second one that feeds the closet alone loses 1.286: 2.724 less.
 * The closet needs 40 + 0.7348 + 4.010 = 44.745 psi, or 42.021. */
#define CLOSETS                                                               \
    "[fixture others]\non = main\nkind = water closet, flush valve\n"         \
    "supply size = 1 in\ncount = 9\nexisting = u\n"                           \
    "[valve u]\nminimum flowing = 10 psi\n"

static const struct {
    double pressure;
    bool works;
} seconds[] = { { 43.0, true }, { 42.1, true }, { 41.9, false } };

START_TEST(second_pipe)
{
    struct cured c;
    const fc_remedy *r;
    char text[1000];

    snprintf(text, sizeof text,
             SITE
             "[source s]\nkind = fixed\npressure = %.1f psi\n" RUN("main", "s")
                 RUN("run", "main") CLOSETS CLOSET("wc", "run") VALVE,
             seconds[_i].pressure);
    cured_begin(&c, site_of(text), true, "second pipe");
    r = cured_by(&c, FC_ADD_RISER, NULL);
    ck_assert_ptr_nonnull(r);
    ck_assert_int_eq(r->works, seconds[_i].works);
    ck_assert_double_eq_tol(r->gain, 2.724 * PSI, 0.003 * PSI);
    if (r->works) {
        ck_assert_double_eq_tol(r->new_pipe, 100 * FOOT, 1e-9);
        ck_assert_str_eq(
            r->text,
            "Run a second pipe, 100.0 ft, of the bore of main, beside main "
            "(as long as it is) and feed run from it: wc gains 2.7 psi at "
            "peak; no shorter stretch does.");
    }
    assert_remedies(&c);
    cured_end(&c);
}
END_TEST

/* Heights given as elevations: the same pipe, and no fixture moves. */
START_TEST(second_by_elevation)
{
    static const char *const heights[] = { "rise = 8 ft\n",
                                           "elevation = 8 ft\n" };
    char text[1000];
    struct cured c[2];
    const fc_remedy *r[2];
    int i;

    for (i = 0; i < 2; i++) {
        snprintf(text, sizeof text,
                 SITE "[source s]\nkind = fixed\npressure = 46 psi\n" RUN(
                     "main", "s") "%s" RUN("run", "main")
                     CLOSETS CLOSET("wc", "run") VALVE,
                 heights[i]);
        cured_begin(&c[i], site_of(text), true, heights[i]);
        r[i] = cured_by(&c[i], FC_ADD_RISER, NULL);
        ck_assert(r[i] && r[i]->works);
        fc_site_free(cured_read(&c[i], r[i]));
    }
    ck_assert_str_eq(r[0]->text, r[1]->text);
    assert_second(&c[0], r[0]);
    for (i = 0; i < 2; i++) {
        fc_site *site = cured_read(&c[i], r[i]);

        assert_same_elevations(&c[i], site);
        fc_site_free(site);
        cured_end(&c[i]);
    }
}
END_TEST

/* ---- Every way to move the floors of two risers ------------------------- */

#define TWO_RISERS 48

static int moved_floors[5], never_moved;

/* A riser behind a PRV, one before it, with so many floors; all differ a
 * little. */
static fc_site *
two_risers(int i, int *floors)
{
    char *text = NULL;
    size_t size;
    FILE *f = open_memstream(&text, &size);
    fc_site *site;
    int k;

    ck_assert_ptr_nonnull(f);
    *floors = 2 + i % 3;
    fprintf(f,
            SITE "material = copper L\ncondition = aged\n[source s]\n"
                 "kind = fixed\npressure = %d psi\n"
                 "[pipe main]\nfrom = s\nsize = 3 in\nlength = 60 ft\n"
                 "[reducer prv]\nfrom = main\nset = %d psi\n" VALVE,
            52 + i * 7 % 47, 44 + i * 5 % 37);
    for (k = 1; k <= *floors; k++)
        fprintf(f,
                "[pipe a-%d]\nfrom = %s\nsize = 2 in\nlength = 12 ft\n"
                "rise = 10 ft\n[pipe b-%d]\nfrom = %s\nsize = 2 in\n"
                "length = 14 ft\nrise = %d ft\n"
                "[pipe branch-%d]\nfrom = a-%d\nsize = 1-1/2 in\n"
                "length = %d ft\n[fixture wc-%d]\non = branch-%d\nkind = "
                "water closet, flush valve\ncount = 2\nexisting = v\n"
                "supply size = 1 in\n[fixture lav-%d]\non = b-%d\n"
                "kind = lavatory\n",
                k,
                k == 1   ? "prv"
                : k == 2 ? "a-1"
                : k == 3 ? "a-2"
                         : "a-3",
                k,
                k == 1   ? "main"
                : k == 2 ? "b-1"
                : k == 3 ? "b-2"
                         : "b-3",
                k == 1 ? 11 : 10, k, k, 15 + i % 4 * 10, k, k, k, k);
    ck_assert_int_eq(fclose(f), 0);
    site = site_of(text);
    free(text);
    return site;
}

/* The top floors that are short joined to the other riser by the shortest
 * pipe, by hand. */
static bool
works_moved(const struct cured *c, int floors, int most)
{
    struct fci_change list[FEW];
    char names[5][4][16];
    size_t n = 0, i;
    int k, done = 0;
    fc_site *site;
    bool works;

    for (k = floors; k >= 1 && done < most; k--) {
        bool is_short = false;

        snprintf(names[k][0], 16, "by-hand-%d", k);
        snprintf(names[k][1], 16, "branch-%d", k);
        snprintf(names[k][2], 16, "b-%d", k);
        snprintf(names[k][3], 16, "wc-%d", k);
        for (i = 0; i < c->site->n_fixtures; i++)
            if (fci_same_name(c->site->fixtures[i].given->name, names[k][3]))
                is_short = c->all->check->fixtures[i].states[FC_EXISTING].works
                           != FC_WORKS;
        if (!is_short)
            continue;
        done++;
        list[n++] = (struct fci_change){ FCI_PIPE, names[k][0], "from",
                                         names[k][2], NULL };
        list[n++] = (struct fci_change){ FCI_PIPE, names[k][0], "size",
                                         "1-1/2 in", NULL };
        list[n++] = (struct fci_change){ FCI_PIPE, names[k][0], "length",
                                         "1 ft", NULL };
        list[n++] = (struct fci_change){ FCI_PIPE, names[k][0], "rise",
                                         "-1 ft", NULL };
        list[n++] =
            (struct fci_change){ FCI_PIPE, names[k][0], "c",
                                 c->site->elements[1].pipe->material->c_put_in,
                                 NULL };
        list[n++] = (struct fci_change){ FCI_PIPE, names[k][1], "from",
                                         names[k][0], NULL };
    }
    if (done < most)
        return false;
    site = changed_site(c->site, list, n);
    works = verdict_of(c, site) == FC_WORKS;
    fc_site_free(site);
    return works;
}

static size_t
count_new(const struct cured *c, const fc_site *site)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_parts; i++)
        n += is_new(c, &site->parts[i]);
    return n;
}

START_TEST(floors_of_two_risers)
{
    int floors, least;
    fc_site *given = two_risers(_i, &floors), *site;
    const fc_remedy *r;
    char name[40];
    struct cured c;

    snprintf(name, sizeof name, "two risers %d", _i);
    cured_begin(&c, given, true, name);
    assert_gains(&c);
    if (c.all->works != FC_WORKS) {
        r = cured_by(&c, FC_MOVE_FLOORS, NULL);
        for (least = 1; least <= floors && !works_moved(&c, floors, least);)
            least++;
        if (least > floors) {
            never_moved++;
            ck_assert_msg(!r || !r->works, "%s: %s", name, r ? r->text : "");
        } else {
            moved_floors[least]++;
            ck_assert_msg(r && r->works, "%s: %d floors do: %s", name, least,
                          r ? r->text : "");
            site = cured_read(&c, r);
            ck_assert_uint_eq(count_new(&c, site), (size_t)least);
            fc_site_free(site);
            assert_moved(&c, r);
        }
    }
    cured_end(&c);
}
END_TEST

/* Of 48 buildings, with none of the bars an empty one. */
START_TEST(floors_were_moved)
{
    if (getenv("CURE_TALLY"))
        fprintf(stderr, "moved: %d %d %d %d; never: %d\n", moved_floors[1],
                moved_floors[2], moved_floors[3], moved_floors[4],
                never_moved);
    ck_assert_int_gt(moved_floors[1], 3);
    ck_assert_int_gt(moved_floors[2], 3);
    ck_assert_int_gt(moved_floors[3] + moved_floors[4], 3);
    ck_assert_int_gt(never_moved, 3);
}
END_TEST

/* ---- Stops -------------------------------------------------------------- */

/* Eight closets below and two on top of one another's main; the pressure is
 * enough at peak, which the codes reckon by fixture units, and short too often
 * in the busiest period. */
#define BUSY                                                                  \
    SITE "[usage]\ninterval = 3 min\n[source s]\nkind = fixed\n"              \
         "pressure = %s psi\n[pipe main]\nfrom = s\nc = 130\n"                \
         "inside diameter = 2 in\nlength = 150 ft\nfittings = none\n"         \
         "[pipe riser]\nfrom = main\nc = 130\ninside diameter = 2 in\n"       \
         "length = 30 ft\nrise = 30 ft\nfittings = none\n"                    \
         "[valve w]\nminimum flowing = 25 psi\nflow = 25 gpm at 25 psi\n"     \
         "full flush = 1.6 gal\n"                                             \
         "[fixture low]\non = main\nkind = water closet, flush valve\n"       \
         "count = 8\nsupply size = 1 in\nexisting = w\n"                      \
         "fixture units = 2\n"                                                \
         "[fixture top]\non = riser\nkind = water closet, flush valve\n"      \
         "count = 2\nsupply size = 1 in\nexisting = w\n"                      \
         "fixture units = 2\n"

START_TEST(stops_of_the_lower_floor)
{
    static const char *const pressures[] = { "47", "48", "49" };
    int i, works = 0;

    for (i = 0; i < COUNT(pressures); i++) {
        char text[1200];
        struct cured c;
        const fc_remedy *r;

        snprintf(text, sizeof text, BUSY, pressures[i]);
        cured_begin(&c, site_of(text), false, "stops");
        r = cured_by(&c, FC_THROTTLE_STOPS, NULL);
        if (r && r->works) {
            works++;
            ck_assert_str_eq(r->subject, "low");
            ck_assert_double_gt(r->value, 0);
            assert_throttled(&c, r);
        }
        cured_end(&c);
    }
    ck_assert_int_gt(works, 0);
}
END_TEST

/* What is short at peak stays so: the codes' peak goes by fixture units. */
START_TEST(stops_at_peak)
{
    struct cured c;
    const fc_remedy *r;
    char text[1200];

    snprintf(text, sizeof text, BUSY, "38");
    cured_begin(&c, site_of(text), false, "stops at peak");
    r = cured_by(&c, FC_THROTTLE_STOPS, NULL);
    ck_assert(r && !r->works);
    ck_assert_str_eq(r->text,
                     "Throttling the stops of other fixtures does not help: "
                     "what is short is so at peak demand, which no stop "
                     "changes.");
    cured_end(&c);
}
END_TEST

TCase *
cure_of_new_pipe(void)
{
    TCase *t = tcase_create("new pipe");

    tcase_add_test(t, another_riser);
    tcase_add_test(t, no_other_riser);
    tcase_add_loop_test(t, second_pipe, 0, COUNT(seconds));
    tcase_add_test(t, second_by_elevation);
    tcase_add_sampled_test(t, floors_of_two_risers, TWO_RISERS);
    tcase_add_counting_test(t, floors_were_moved);
    tcase_add_loop_test(t, ends_of_branches, 0, 5);
    tcase_add_test(t, stops_of_the_lower_floor);
    tcase_add_test(t, stops_at_peak);
    return t;
}
