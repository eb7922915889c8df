/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_by_force.c -- every step of every lever of small buildings,
 * tried.
 *
 * A building is written as text with its figures, and each lever is a key of
 * it that is changed: none of the library's levers is asked.  Step by step
 * from the first on, the first that passes check must be the one that is
 * named, and where none passes none may be named; of valves every choice of
 * fixtures is tried for the fewest.  What the least of these costs must be the
 * lowest price, or no more than it.
 */
#include "unit/cure_suite.h"
#include "unit/cure_trials.h"

#include <math.h>
#include <stdarg.h>

#define BUILDINGS 64
#define MOST_PIPES 5
#define MOST_CLOSETS 6
#define MOST_STEPS 220 /* of 0.1 psi */
#define MOST_HEADS 520 /* of 0.1 ft */

enum lever { SOURCE, SETTING, DEVICE, BACKFLOW, BOOSTER, VALVE, N_LEVERS };

static const struct {
    const char *key; /* of [price] */
    fc_lever lever;
    const char *subject;
} levers[N_LEVERS] = {
    { "source", FC_RAISE_SOURCE, "s" },
    { "prv setting", FC_RAISE_REDUCER, "r" },
    { "device", FC_LOWER_LOSS, "d" },
    { "backflow", FC_LOWER_LOSS, "b" },
    { "booster", FC_ADD_BOOSTER, NULL },
    { "valve", FC_LOWER_MINIMUM, NULL },
};

/* psi, ft, gpm */
struct house {
    bool has[N_LEVERS]; /* what is there: of PRV, device, preventer */
    double pressure, set, device, backflow, head, maximum;
    const char *pump_at; /* what the pump is from */
    double pump_flow;
    size_t n_pipes, n_closets;
    size_t from[MOST_PIPES], on[MOST_CLOSETS];
    double length[MOST_PIPES], rise[MOST_PIPES];
    const char *size[MOST_PIPES];
    double minimum[MOST_CLOSETS];
    int count[MOST_CLOSETS];
    double prices[N_LEVERS]; /* NAN: not given */
};

/* ---- As text ----------------------------------------------------------- */

struct text {
    char text[6000];
    size_t n;
};

static void put(struct text *t, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
put(struct text *t, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    t->n +=
        (size_t)vsnprintf(t->text + t->n, sizeof t->text - t->n, format, args);
    va_end(args);
    ck_assert_uint_lt(t->n, sizeof t->text);
}

/* The pump stands between an element and all that it fed. */
static const char *
fed_by(const struct house *h, const char *element)
{
    return h->head > 0 && strcmp(h->pump_at, element) == 0 ? "x" : element;
}

/* The name of a pipe, of four. */
static const char *
pipe_name(size_t k)
{
    static const char *const names[] = { "p0", "p1", "p2", "p3", "p4" };

    return names[k];
}

/* With so much at 40 gpm. */
static void
write_backflow(double loss, char *text, size_t size)
{
    snprintf(text, size, "0 gpm %.12g psi, 40 gpm %.12g psi, 90 gpm %.12g psi",
             0.8 * loss, loss, 1.4 * loss);
}

/* A fifth more head with no flow, falling with the square of the flow (common
 * practice), to 0.1 ft. */
static void
write_curve(const struct house *h, double head, char *text, size_t size)
{
    size_t n = 0;
    int k;

    for (k = 0; k < 4; k++)
        n += (size_t)snprintf(text + n, size - n, "%s%.1f gpm %.1f ft",
                              k ? ", " : "", k * h->pump_flow / 2,
                              (1.2 - 0.05 * k * k) * head);
}

/* What is in line on the main behind the first pipe; returns its end. */
static const char *
put_main(struct text *t, const struct house *h)
{
    const char *end = "p0";
    char loss[200];

    if (h->has[DEVICE]) {
        put(t, "[device d]\nfrom = %s\nloss = %.12g psi at 40 gpm\n",
            fed_by(h, end), h->device);
        end = "d";
    }
    if (h->has[BACKFLOW]) {
        write_backflow(h->backflow, loss, sizeof loss);
        put(t, "[backflow b]\nfrom = %s\nloss = %s\n", fed_by(h, end), loss);
        end = "b";
    }
    if (h->has[SETTING]) {
        put(t,
            "[prv r]\nfrom = %s\nset = %.12g psi\nloss = 0 psi\n"
            "fall-off = 2 psi at 40 gpm\n",
            fed_by(h, end), h->set);
        end = "r";
    }
    return end;
}

static void
put_pipe(struct text *t, const struct house *h, size_t k, const char *from)
{
    put(t,
        "[pipe %s]\nfrom = %s\nfittings = none\nlength = %g ft\nrise = %g "
        "ft\nsize = %s\nvelocity limit = 40 ft/s\n",
        pipe_name(k), fed_by(h, from), h->length[k], h->rise[k], h->size[k]);
}

static void
put_closets(struct text *t, const struct house *h)
{
    size_t i;

    for (i = 0; i < h->n_closets; i++) {
        put(t,
            "[fixture wc-%zu]\non = %s\nkind = water closet, flush valve\n"
            "supply size = 1 in\ncount = %d\nexisting = v%zu\n"
            "[valve v%zu]\nminimum flowing = %g psi\nflow = 25 gpm at 40 "
            "psi\nfull flush = 1.6 gal\n",
            i, fed_by(h, pipe_name(h->on[i])), h->count[i], i, i,
            h->minimum[i]);
    }
}

static void
write_house(struct text *t, const struct house *h)
{
    const char *end;
    char curve[200];
    size_t k;

    t->n = 0;
    put(t,
        "[site]\ncode minimum = no\nmaximum static = %g psi\n"
        "material = copper L\ncondition = new\n[source s]\nkind = fixed\n"
        "pressure = %.12g psi\n",
        h->maximum, h->pressure);
    put_pipe(t, h, 0, "s");
    end = put_main(t, h);
    for (k = 1; k < h->n_pipes; k++)
        put_pipe(t, h, k, h->from[k] == 0 ? end : pipe_name(h->from[k]));
    put_closets(t, h);
    if (h->head > 0) {
        write_curve(h, h->head, curve, sizeof curve);
        put(t, "[pump x]\nfrom = %s\ncurve = %s\n", h->pump_at, curve);
    }
    put(t, "[price]\n");
    for (k = 0; k < N_LEVERS; k++)
        if (!isnan(h->prices[k]))
            put(t, "%s = %g\n", levers[k].key, h->prices[k]);
}

static int checks;

/* Whether all works at peak and nothing has too much. */
static bool
does_as_it_is(const fc_site *site)
{
    const fc_check_options peak = { .peak_only = true };
    fc_check_result *check = NULL;
    bool works;

    ck_assert_int_eq(fc_check_with(site, &peak, &check, NULL), FC_OK);
    works = check->works == FC_WORKS && check->too_high == FC_WORKS;
    fc_check_result_free(check);
    checks++;
    return works;
}

static fc_site *
site_of_house(const struct house *h)
{
    static struct text t;

    write_house(&t, h);
    return site_of(t.text);
}

static bool
does(const struct house *h)
{
    fc_site *site = site_of_house(h);
    const bool works = does_as_it_is(site);

    fc_site_free(site);
    return works;
}

/* ---- Buildings --------------------------------------------------------- */

static unsigned long state;

/* From 0 to n - 1 (Knuth's MMIX generator; its upper bits). */
static unsigned
chance(unsigned n)
{
    state = state * 6364136223846793005UL + 1442695040888963407UL;
    return (unsigned)(state >> 33) % n;
}

static void
make_tree(struct house *h)
{
    static const char *const sizes[] = { "1-1/4 in", "1-1/2 in", "2 in" };
    size_t k;

    h->n_pipes = 2 + chance(4);
    for (k = 0; k < h->n_pipes; k++) {
        h->from[k] = k < 2 ? 0 : chance((unsigned)k);
        h->length[k] = 10 + chance(40);
        h->rise[k] = k == 0 ? 0 : chance(10);
        h->size[k] = k == 0 ? "2 in" : sizes[chance(3)];
    }
    h->n_closets = 1 + chance(MOST_CLOSETS);
    for (k = 0; k < h->n_closets; k++) {
        h->on[k] = 1 + chance((unsigned)h->n_pipes - 1);
        h->minimum[k] = 12 + chance(150) * 0.1;
        h->count[k] = 1 + (chance(4) == 0);
    }
}

/* Pressure down by 0.1 psi until something is short. */
static struct house
make_house(unsigned long seed)
{
    struct house h = { .maximum = 200, .pressure = 75, .pump_at = "" };
    size_t i;

    state = seed * 2654435761UL + 12345;
    for (i = 0; i < 8; i++)
        chance(2);
    make_tree(&h);
    h.has[SOURCE] = h.has[BOOSTER] = h.has[VALVE] = true;
    h.has[SETTING] = chance(3) == 0;
    h.has[DEVICE] = chance(2) == 0;
    h.has[BACKFLOW] = chance(2) == 0;
    h.device = 1 + chance(60) * 0.1;
    h.backflow = 3 + chance(60) * 0.1;
    h.set = 75;
    for (i = 0; i < N_LEVERS; i++)
        h.prices[i] = chance(6) == 0 ? (double)NAN : 10.0 * (1 + chance(97));
    while (does(&h))
        h.pressure -= 5;
    if (h.has[SETTING] && chance(2)) {
        /* the PRV is what is low */
        h.set = h.pressure;
        h.pressure += 15;
    }
    h.pressure += chance(40) * 0.1;
    while (does(&h))
        h.pressure -= 1.3;
    h.pressure -= chance(2) == 0 ? 9 : 0;
    if (chance(3) == 0)
        h.maximum = h.pressure + chance(80) * 0.1;
    return h;
}

/* ---- Step by step ------------------------------------------------------ */

static bool
does_changed(const fc_site *site, const struct fci_change *changes, size_t n)
{
    fc_site *changed = changed_site(site, changes, n);
    const bool works = does_as_it_is(changed);

    fc_site_free(changed);
    return works;
}

/* What a key is so many steps off, as text. */
typedef void value_after(const struct house *h, double step, char *text,
                         size_t size);

static void
pressure_after(const struct house *h, double step, char *text, size_t size)
{
    snprintf(text, size, "%.1f psi", h->pressure + 0.1 * step);
}

static void
set_after(const struct house *h, double step, char *text, size_t size)
{
    snprintf(text, size, "%.1f psi", h->set + 0.1 * step);
}

static void
curve_after(const struct house *h, double step, char *text, size_t size)
{
    write_curve(h, 0.1 * step, text, size);
}

/* `step` is the share that is left. */
static void
device_after(const struct house *h, double step, char *text, size_t size)
{
    snprintf(text, size, "%.12g psi at 40 gpm", step * h->device);
}

static void
backflow_after(const struct house *h, double step, char *text, size_t size)
{
    write_backflow(step * h->backflow, text, size);
}

/* The fewest steps, from 1, with which it does; 0: none. */
static int
fewest(const fc_site *site, const struct house *h, struct fci_change change,
       value_after *after, int most)
{
    char text[200];
    int i;

    change.value = text;
    for (i = 1; i <= most; i++) {
        after(h, i, text, sizeof text);
        if (does_changed(site, &change, 1))
            return i;
    }
    return 0;
}

/* By steps of 0.1 psi of the loss at peak, which is `now`; the last takes all.
 */
static int
fewest_of_loss(const fc_site *site, const struct house *h,
               struct fci_change change, value_after *after, double now)
{
    const int most = (int)ceil(now / (0.1 * PSI));
    char text[200];
    int i;

    change.value = text;
    for (i = 1; i <= most; i++) {
        after(h, i == most ? 0 : 1 - i * 0.1 * PSI / now, text, sizeof text);
        if (does_changed(site, &change, 1))
            return i;
    }
    return 0;
}

/* By IPC Appendix E, E103.1, flush valves require 15 psi at least, siphonic
 * closets among them; of closets, no table of the code has less (Table 604.3:
 * 35 psi). */
#define LEAST_PUBLISHED 15.0

/* Of all choices of closets the least number of valves with which it does,
 * when they require as little as is published; 0: none. */
static int
fewest_valves(const fc_site *site, const struct house *h)
{
    static const char *const names[] = { "v0", "v1", "v2", "v3", "v4", "v5" };
    int least = 0;
    unsigned i;

    for (i = 1; i < 1U << h->n_closets; i++) {
        struct fci_change list[MOST_CLOSETS];
        size_t k, n = 0;
        int count = 0;

        for (k = 0; k < h->n_closets; k++)
            if (i >> k & 1 && h->minimum[k] > LEAST_PUBLISHED) {
                list[n++] =
                    (struct fci_change){ FCI_VALVE, names[k],
                                         "minimum flowing", "15 psi", NULL };
                count += h->count[k];
            }
        if (count > 0 && (least == 0 || count < least)
            && does_changed(site, list, n))
            least = count;
    }
    return least;
}

static int named[N_LEVERS], in_vain[N_LEVERS], not_made, priced, unpriced;

static void
expect(const struct cured *c, enum lever lever, const fc_remedy *r, int steps,
       double value)
{
    if (steps == 0) {
        ck_assert_msg(!r || !r->works, "%s: none does: %s", c->name, r->text);
        in_vain[lever]++;
        return;
    }
    ck_assert_msg(r != NULL, "%s: %s is not named", c->name,
                  levers[lever].key);
    if (r->reach == FC_NOT_MADE) {
        /* no double check loses less (ASSE 1015, from memory) */
        ck_assert(lever == BACKFLOW && value < 2 * PSI + 1);
        not_made++;
        return;
    }
    ck_assert_msg(r->works, "%s: %d steps do: %s", c->name, steps, r->text);
    ck_assert_msg(isnan(value) || fabs(r->value - value) < 1,
                  "%s: %d steps, %.10g Pa or m: %s", c->name, steps, value,
                  r->text);
    named[lever]++;
}

/* Where the pump stands and what flows there is as it is told; flows are
 * checked apart (unit/cure_by_hand.c). */
static int
fewest_heads(struct house h, const fc_remedy *r)
{
    const char *flow = r ? strstr(r->text, " of head at ") : NULL;
    fc_site *site;
    int steps;

    if (!flow)
        return 0;
    h.pump_at = r->subject;
    h.pump_flow = strtod(flow + strlen(" of head at "), NULL);
    h.head = 1;
    site = site_of_house(&h);
    steps = fewest(site, &h,
                   (struct fci_change){ FCI_PUMP, "x", "curve", NULL, NULL },
                   curve_after, MOST_HEADS);
    fc_site_free(site);
    return steps;
}

static double
lowest_of(const struct house *h, const int *steps, bool *known)
{
    double least = INFINITY;
    int i;

    *known = true;
    for (i = 0; i < N_LEVERS; i++) {
        if (steps[i] == 0)
            continue;
        if (isnan(h->prices[i]))
            *known = false;
        else
            least = fmin(least, h->prices[i] * (i == VALVE ? steps[i] : 1));
    }
    return least;
}

static void
expect_lowest(const struct cured *c, const struct house *h, const int *steps)
{
    bool known;
    const double least = lowest_of(h, steps, &known);
    const fc_remedy *r = c->all->lowest < c->all->n_remedies
                             ? &c->all->remedies[c->all->lowest]
                             : NULL;

    ck_assert_msg(r || isinf(least), "%s: none is named for %g", c->name,
                  least);
    if (!known)
        ck_assert_uint_gt(c->all->n_unpriced, 0);
    unpriced += !known;
    if (!r)
        return;
    ck_assert(r->works);
    ck_assert_msg(r->price <= least + 1e-9, "%s: %g is less: %s", c->name,
                  least, r->text);
    if (r->lever != FC_COMBINE)
        ck_assert_msg(fabs(r->price - least) < 1e-9, "%s: %g, not %g: %s",
                      c->name, r->price, least, r->text);
    priced++;
}

static void
try_all(const struct cured *c, const struct house *h, int *steps)
{
    static const struct fci_change keys[N_LEVERS] = {
        { FCI_SOURCE, "s", "pressure", NULL, NULL },
        { FCI_REDUCER, "r", "set", NULL, NULL },
        { FCI_DEVICE, "d", "loss", NULL, NULL },
        { FCI_BACKFLOW, "b", "loss", NULL, NULL },
    };
    const fc_remedy *r[N_LEVERS];
    int i;

    for (i = 0; i < N_LEVERS; i++)
        r[i] = cured_by(c, levers[i].lever, levers[i].subject);
    steps[SOURCE] =
        fewest(c->site, h, keys[SOURCE], pressure_after, MOST_STEPS);
    expect(c, SOURCE, r[SOURCE], steps[SOURCE],
           (h->pressure + 0.1 * steps[SOURCE]) * PSI);
    if (h->has[SETTING]) {
        steps[SETTING] =
            fewest(c->site, h, keys[SETTING], set_after, MOST_STEPS);
        expect(c, SETTING, r[SETTING], steps[SETTING],
               (h->set + 0.1 * steps[SETTING]) * PSI);
    }
    for (i = DEVICE; i <= BACKFLOW; i++) {
        if (!h->has[i])
            continue;
        ck_assert_ptr_nonnull(r[i]);
        steps[i] = fewest_of_loss(c->site, h, keys[i],
                                  i == DEVICE ? device_after : backflow_after,
                                  r[i]->now);
        expect(c, (enum lever)i, r[i], steps[i],
               fmax(r[i]->now - steps[i] * 0.1 * PSI, 0));
        /* what no RP does, which loses 6 psi at least (ASSE 1013, from
         * memory), is not counted in the lowest price */
        ck_assert(steps[i] == 0 || r[i]->reach == FC_NOT_MADE
                  || (r[i]->reach == FC_ONLY_DOUBLE_CHECK)
                         == (i == BACKFLOW && r[i]->value < 5.99 * PSI));
        steps[i] = r[i]->reach == FC_IN_REACH && r[i]->works ? steps[i] : 0;
    }
    steps[VALVE] = fewest_valves(c->site, h);
    expect(c, VALVE, r[VALVE], steps[VALVE], NAN);
    if (steps[VALVE] > 0)
        ck_assert_msg(fabs(r[VALVE]->purchases[0].count - steps[VALVE]) < 1e-9,
                      "%s: %d valves do: %s", c->name, steps[VALVE],
                      r[VALVE]->text);
    steps[BOOSTER] = fewest_heads(*h, r[BOOSTER]);
    expect(c, BOOSTER, r[BOOSTER], steps[BOOSTER],
           0.1 * FOOT * steps[BOOSTER]);
}

START_TEST(every_step)
{
    const struct house h = make_house((unsigned long)_i);
    int steps[N_LEVERS] = { 0 };
    char name[40];
    struct cured c;

    snprintf(name, sizeof name, "small building %d", _i);
    cured_begin(&c, site_of_house(&h), true, name);
    ck_assert_int_ne(c.all->works, FC_WORKS);
    assert_remedies(&c);
    try_all(&c, &h, steps);
    expect_lowest(&c, &h, steps);
    cured_end(&c);
}
END_TEST

START_TEST(all_was_tried)
{
    int i;

    if (getenv("CURE_TALLY"))
        fprintf(stderr,
                "%d checks, %d priced, %d unpriced, %d not made, %d pairs, %d "
                "with pipes\n",
                checks, priced, unpriced, not_made, tally.pairs,
                tally.with_device);
    for (i = 0; i < N_LEVERS; i++) {
        if (getenv("CURE_TALLY"))
            fprintf(stderr, "%s: %d named, %d in vain\n", levers[i].key,
                    named[i], in_vain[i]);
        ck_assert_int_gt(named[i], 5);
        ck_assert_int_gt(in_vain[i], 2);
    }
    ck_assert_int_gt(priced, 40);
    ck_assert_int_gt(unpriced, 10);
    ck_assert_int_gt(checks, 20000);
}
END_TEST

TCase *
cure_by_force(void)
{
    TCase *t = tcase_create("by force");

    tcase_add_sampled_test(t, every_step, BUILDINGS);
    tcase_add_counting_test(t, all_was_tried);
    return t;
}
