/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/diagnose_visit_buildings.c -- what is asked for next in invented
 * buildings, and what readings say of ranges.
 */
#include "unit/diagnose_visit.h"
#include "generators/diagnose_visits.h"
#include "generators/reference_solver.h"

#include <math.h>
#include <stddef.h>

/* ---- What is asked for next -------------------------------------------- */

#define VISITS (unsigned long)usual(30, 60)
#define FURTHER 3

static const struct sick_plan plans[] = {
    { .kind = FC_BLOCKED },        { .kind = FC_STOP_THROTTLED },
    { .kind = FC_SUPPLY_SAG },     { .kind = FC_HEIGHT },
    { .kind = FC_RUNNING_OUTLET }, { .kind = FC_PIPE_ROUGHNESS },
    { .kind = FC_SMALLER_SIZE },   { .kind = FC_SUPPLY_PRESSURE },
    { .kind = FC_VALVE_VOLUME },   { .kind = FC_PRV_NOT_LISTED },
};

/* By a pressure. */
static bool
was_read_at(const fc_diagnosis *d, const char *at)
{
    size_t i;

    for (i = 0; i < d->n_readings; i++)
        if (d->readings[i].dimension == FC_PRESSURE
            && strcmp(d->readings[i].at, at) == 0)
            return true;
    return false;
}

static bool
has_part(const struct building *b, const char *name, enum fci_kind kind)
{
    const struct building_part *part =
        building_find(b, kind == FCI_FIXTURE, name);

    return part && part->kind == kind;
}

static void
hold_answers(const fc_next_reading *next, unsigned long seed)
{
    double sum = 0;
    size_t i;

    ck_assert_msg(next->n_answers <= 5, "%lu: %zu answers", seed,
                  next->n_answers);
    for (i = 0; i < next->n_answers; i++) {
        sum += next->answers[i].weight;
        ck_assert_msg(next->answers[i].weight >= 0.02, "%lu: of %g: %s", seed,
                      next->answers[i].weight, next->text);
        ck_assert_msg(next->answers[i].text != NULL, "%lu", seed);
    }
    /* what is under 2 % may be left out */
    ck_assert_msg(next->n_answers == 0 || (sum <= 1 + 1e-9 && sum >= 1 - 0.02),
                  "%lu: %g in all: %s", seed, sum, next->text);
}

static void
hold_next(const struct sick_building *b, const fc_diagnosis *d, bool no_gauge,
          unsigned long seed)
{
    const fc_next_reading *next = &d->next;

    hold_answers(next, seed);
    ck_assert_msg(next->n_flush <= 4, "%lu: %s", seed, next->text);
    if (!next->at || next->kind != FC_TASK_PRESSURE
        || was_read_at(d, next->at))
        return;
    ck_assert_msg(!has_part(&b->b, next->at, FCI_PIPE), "%lu: %s", seed,
                  next->text);
    ck_assert_msg(!no_gauge
                      || (!has_part(&b->b, next->at, FCI_FIXTURE)
                          && !has_part(&b->b, next->at, FCI_METER)),
                  "%lu: %s", seed, next->text);
}

#define SCREEN_LINES 40
#define SCREEN_COLUMNS 79

/* Its text is one screen, whatever there is to tell. */
static void
hold_screen(unsigned long seed)
{
    fc_report *report = NULL;
    char *text = NULL;
    size_t lines = 0, column = 0, i;

    ck_assert_int_eq(fc_report_diagnosis(visited, said, &report), FC_OK);
    ck_assert_int_eq(fc_report_write(report, FC_TEXT, NULL, &text, NULL, NULL),
                     FC_OK);
    for (i = 0; text[i]; i++) {
        column = text[i] == '\n' ? 0 : column + 1;
        lines += text[i] == '\n';
        ck_assert_msg(column <= SCREEN_COLUMNS, "%lu: %s", seed, text);
    }
    ck_assert_msg(lines <= SCREEN_LINES, "%lu: %zu lines: %s", seed, lines,
                  text);
    fc_free(text);
    fc_report_free(report);
}

/* The same with no room for a gauge at fixtures and meters. */
static char *
without_gauges(const char *text, size_t n)
{
    char *to = malloc(2 * n + 1);
    size_t used = 0, i;
    bool head = false;

    ck_assert_ptr_nonnull(to);
    for (i = 0; i < n; i++) {
        if (text[i] == '[' && (i == 0 || text[i - 1] == '\n'))
            head = strncmp(text + i, "[fixture ", 9) == 0
                   || strncmp(text + i, "[meter ", 7) == 0;
        to[used++] = text[i];
        if (text[i] == '\n' && head) {
            used += (size_t)sprintf(to + used, "gauge = no\n");
            head = false;
        }
    }
    to[used] = '\0';
    return to;
}

static void
follow(struct visit *v, bool no_gauge, unsigned long seed)
{
    bool more = true;
    int taken;

    for (taken = 0; more; taken++) {
        char *text = no_gauge ? without_gauges(v->text, v->used) : NULL;

        ask(text ? text : v->text);
        hold_next(v->b, said, no_gauge, seed);
        hold_screen(seed);
        more = taken < FURTHER && visit_go_on(v, &said->next);
        put_away();
        free(text);
    }
}

/* One of ten kinds of fault, all ranges, one after the other. */
static int
visit_sick(unsigned long seed, bool no_gauge)
{
    static const enum sick_ranges ranges[] = { SICK_EXACT, SICK_NARROW,
                                               SICK_MEDIUM, SICK_WIDE };
    const struct sick_plan *plan = &plans[seed % COUNT(plans)];
    struct sick_building *b = malloc(sizeof *b);
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct visit v;
    bool counts;

    ck_assert(b && rng);
    gsl_rng_set(rng, seed + 1);
    sick_make(b, seed, ranges[seed % 4]);
    counts = sick_infect(b, plan, rng);
    if (counts) {
        counts = visit_begin(&v, b, plan->kind == FC_VALVE_VOLUME);
        if (counts)
            follow(&v, no_gauge, seed);
        visit_end(&v);
    }
    sick_free(b);
    free(b);
    gsl_rng_free(rng);
    return counts;
}

START_TEST(asks_for_what_can_be_done)
{
    unsigned long seed;
    int n = 0;

    for (seed = 0; seed < VISITS; seed++)
        n += visit_sick(seed, false);
    ck_assert_int_gt(n, VISITS / 2);
}
END_TEST

START_TEST(asks_for_no_gauge_where_none_fits)
{
    unsigned long seed;
    int n = 0;

    for (seed = 0; seed < VISITS; seed++)
        n += visit_sick(seed + 1000, true);
    ck_assert_int_gt(n, VISITS / 2);
}
END_TEST

/* ---- The school -------------------------------------------------------- */

#define SCHOOLS 100

/* As it was built: within the ranges of the file, by one drop of its main at
 * 60 gpm of a few psi. */
struct school {
    double psi, drop;
    const char *size;
    double wing, battery; /* ft */
    double c_wing, c_battery;
};

static double
between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

static struct school
draw_school(gsl_rng *rng)
{
    struct school s;

    s.psi = between(rng, 48, 56);
    s.drop = between(rng, 0.5, 4);
    s.size = gsl_rng_uniform(rng) < 0.5 ? "1-1/4 in" : "1-1/2 in";
    s.wing = between(rng, 40, 60);
    s.battery = between(rng, 8, 12);
    s.c_wing = between(rng, 60, 100);
    s.c_battery = between(rng, 60, 100);
    return s;
}

static fc_site *
built_school(const struct school *s)
{
    char text[2048];

    snprintf(text, sizeof text,
             "[site]\ntitle = Built\n"
             "[source street]\nkind = street main\nstatic = %.6f psi\n"
             "residual = %.6f psi\nresidual flow = 60 gpm\nwithin = 0 psi\n"
             "[pipe wing]\nfrom = street\nmaterial = steel sch 40\n"
             "size = %s\nlength = %.6f ft\nrise = 12 ft\nc = %.6f\n"
             "fittings = 4 elbow 90, 1 gate valve\n"
             "[pipe battery]\nfrom = wing\nmaterial = steel sch 40\n"
             "size = 1-1/4 in\nlength = %.6f ft\nrise = 4 ft\nc = %.6f\n"
             "fittings = 1 tee branch\n"
             "[fixture upstairs-wc]\non = battery\n"
             "kind = water closet, flush valve\ncount = 2\n"
             "supply size = 1 in\n",
             s->psi, s->psi - s->drop, s->size, s->wing, s->c_wing, s->battery,
             s->c_battery);
    return site_of(text);
}

/* At the valve while so many flush, on a gauge whose marks are 2 psi apart. */
static double
school_shows(const fc_site *site, int count)
{
    struct reference *reference = reference_new(site, FC_EXISTING);
    const struct fci_open open = { 0, count };
    struct reference_flows flows;
    double psi = NAN;

    if (reference_solve(reference, &open, 1, &flows))
        psi = flows.drawn[0].pressure / PSI;
    reference_flows_free(&flows);
    reference_free(reference);
    ck_assert_msg(psi > 0, "not solved");
    return 2 * floor(psi / 2 + 0.5);
}

/* The example up to its readings. */
static char *
school_file(void)
{
    const char *folder = getenv("srcdir");
    char path[1024], *text = malloc(65536), *end;
    FILE *file;
    size_t n;

    snprintf(path, sizeof path, "%s/examples/school.ini",
             folder ? folder : ".");
    file = fopen(path, "rb");
    ck_assert_msg(file && text, "%s cannot be read", path);
    n = fread(text, 1, 65535, file);
    fclose(file);
    text[n] = '\0';
    end = strstr(text, "[reading bibb]");
    ck_assert_ptr_nonnull(end);
    *end = '\0';
    return text;
}

/* The places and sets of the file's own readings; 16 ft of water are 6.930 psi
 * (62.366 / 144 psi a foot). */
static void
ask_school(const char *file, const struct school *s)
{
    fc_site *built = built_school(s);
    char text[16384];

    snprintf(text, sizeof text,
             "%s[reading bibb]\nat = street\npressure = %.0f psi\n"
             "within = 2 psi\n"
             "[reading upstairs]\nat = upstairs-wc\npressure = %.0f psi\n"
             "within = 2 psi\n"
             "[reading one]\nat = upstairs-wc\npressure = %.0f psi\n"
             "flushing = 1 of upstairs-wc\nwithin = 2 psi\n"
             "[reading both]\nat = upstairs-wc\npressure = %.0f psi\n"
             "flushing = upstairs-wc\nwithin = 2 psi\n",
             file, 2 * floor(s->psi / 2 + 0.5),
             2 * floor((s->psi - 16 * 0.43310) / 2 + 0.5),
             school_shows(built, 1), school_shows(built, 2));
    fc_site_free(built);
    ask(text);
}

static void
each_school(void (*see)(const struct school *s, unsigned long seed))
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    char *file = school_file();
    unsigned long seed;

    ck_assert_ptr_nonnull(rng);
    for (seed = 1; seed <= SCHOOLS; seed++) {
        struct school s;

        gsl_rng_set(rng, seed);
        s = draw_school(rng);
        ask_school(file, &s);
        see(&s, seed);
        put_away();
    }
    free(file);
    gsl_rng_free(rng);
}

static int narrowed;

static void
see_verdict(const struct school *s, unsigned long seed)
{
    (void)s;
    narrowed += said->verdict == FC_NARROWED_DOWN;
    ck_assert_msg(said->verdict == FC_CHECKS_OUT
                      || said->verdict == FC_CHECKS_OUT_SHORT
                      || said->verdict == FC_NARROWED_DOWN,
                  "%lu: %s", seed, said->text);
}

START_TEST(finds_nothing_in_a_sound_school)
{
    narrowed = 0;
    each_school(see_verdict);
    ck_assert_int_le(narrowed, 5);
}
END_TEST

/* What was learned of each input: how often it was told, and held what it is:
 * of the C of a material that of one of its pipes, or what lies between. */
static struct {
    const char *name, *what;
    int told, held;
} learned[] = {
    { "street", "static pressure", 0, 0 },
    { "wing", "length", 0, 0 },
    { "steel sch 40", "C", 0, 0 },
};

static fc_range
true_value(const struct school *s, int i)
{
    return i == 0   ? fc_exactly(s->psi * PSI)
           : i == 1 ? fc_exactly(s->wing * FOOT)
                    : fc_between(fmin(s->c_wing, s->c_battery),
                                 fmax(s->c_wing, s->c_battery));
}

static void
see_learned(const struct school *s, unsigned long seed)
{
    size_t i;
    int k;

    for (i = 0; i < said->n_learned; i++) {
        const fc_learned *l = &said->learned[i];

        ck_assert_msg(l->low <= l->value && l->value <= l->high, "%lu: %s",
                      seed, l->name);
        ck_assert_msg(!l->given.given
                          || (l->low >= l->given.low - 1e-9
                              && l->high <= l->given.high * (1 + 1e-9)),
                      "%lu: %s", seed, l->name);
        for (k = 0; k < COUNT(learned); k++)
            if (strcmp(l->name, learned[k].name) == 0
                && strcmp(l->what, learned[k].what) == 0) {
                learned[k].told++;
                learned[k].held += true_value(s, k).high >= l->low
                                   && true_value(s, k).low <= l->high;
            }
    }
}

START_TEST(learns_what_a_school_is)
{
    int k;

    each_school(see_learned);
    ck_assert_int_gt(learned[0].told, SCHOOLS / 2);
    for (k = 0; k < COUNT(learned); k++)
        /* 95 % of them, less three deviations of so few */
        ck_assert_msg(learned[k].held
                          >= 0.95 * learned[k].told
                                 - 3 * sqrt(0.95 * 0.05 * learned[k].told),
                      "%s, %s: %d of %d", learned[k].name, learned[k].what,
                      learned[k].held, learned[k].told);
}
END_TEST

/* ---- Invented buildings that are sound ---------------------------------- */

#define SOUND (unsigned long)usual(60, 120)

/* What is true of an input that a diagnosis tells of. */
static const struct {
    enum fci_kind kind;
    const char *what;
    size_t offset; /* of its range, in what is described */
} inputs[] = {
    { FCI_SOURCE, "static pressure", offsetof(fc_source, static_pressure) },
    { FCI_REDUCER, "set pressure", offsetof(fc_reducer, set) },
    { FCI_VALVE, "rate", offsetof(fc_valve, flow) },
    { FCI_FIXTURE, "loss of the stop", offsetof(fc_fixture, stop.pressure) },
    { FCI_PIPE, "length", offsetof(fc_pipe, length) },
    { FCI_PIPE, "rise", offsetof(fc_pipe, rise) },
    { FCI_PIPE, "C", offsetof(fc_pipe, c) },
};

static int told, held;

/* Its pipes are of one material, which has one C; those of half of the
 * buildings have all the same. */
static bool
is_same_c(const struct building *drawn)
{
    double c = NAN;
    size_t i;

    for (i = 0; i < drawn->n_parts; i++) {
        if (drawn->parts[i].kind != FCI_PIPE)
            continue;
        if (fabs(drawn->parts[i].as.pipe.c.nominal - c) > 1e-9)
            return false;
        c = drawn->parts[i].as.pipe.c.nominal;
    }
    return true;
}

static void
see_true(const struct building *drawn, const fc_learned *l)
{
    const bool of_material = strcmp(l->name, drawn->settings.material) == 0;
    size_t i;
    int k;

    if (of_material && !is_same_c(drawn))
        return;
    for (i = 0; i < drawn->n_parts; i++)
        for (k = 0; k < COUNT(inputs); k++) {
            const struct building_part *part = &drawn->parts[i];
            const fc_range *range =
                (const fc_range *)(const void *)((const char *)&part->as
                                                 + inputs[k].offset);

            if (part->kind != inputs[k].kind
                || strcmp(inputs[k].what, l->what) != 0
                || !(of_material ? part->kind == FCI_PIPE
                                 : strcmp(part->as.name, l->name) == 0))
                continue;
            told++;
            held += range->nominal >= l->low && range->nominal <= l->high;
            return;
        }
    ck_abort_msg("%s of %s", l->what, l->name);
}

static void
learn_of_sound(unsigned long seed)
{
    struct sick_building *b = malloc(sizeof *b);
    struct visit v;
    size_t i;

    ck_assert_ptr_nonnull(b);
    sick_make(b, seed, seed % 2 ? SICK_MEDIUM : SICK_WIDE);
    if (visit_begin(&v, b, false)) {
        ask(v.text);
        for (i = 0; i < said->n_learned; i++)
            see_true(&b->drawn, &said->learned[i]);
        put_away();
    }
    visit_end(&v);
    sick_free(b);
    free(b);
}

START_TEST(learns_what_buildings_are)
{
    unsigned long seed;

    told = held = 0;
    for (seed = 1; seed <= SOUND; seed++)
        learn_of_sound(seed);
    ck_assert_int_gt(told, SOUND);
    /* 95 % of them, and by sampling no less than 90 */
    ck_assert_msg(held >= 0.9 * told, "%d of %d", held, told);
}
END_TEST

/* ---- One unknown ------------------------------------------------------- */

/* A gauge is off by u, anywhere within 2 psi each way and the same in all that
 * it reads, and each reading of it by a normal deviate of 2 / sqrt(3) = 1.1547
 * besides; the mean of n of them by one of 1.1547 / sqrt(n).  So the density
 * of what they read is, for each gauge, the mean of the normal density over u,
 * and for several gauges their product. */
struct gauges {
    int readings; /* of each */
    int gauges;
    double read, within;
};

static double
density(const struct gauges *g, double x)
{
    const double deviation = g->within / sqrt(3) / sqrt(g->readings);
    const int n = 200;
    double sum = 0;
    int i;

    for (i = 0; i < n; i++) {
        const double u = g->within * (2 * (i + 0.5) / n - 1);
        const double z = (g->read - x - u) / deviation;

        sum += exp(-0.5 * z * z);
    }
    return pow(sum / n, g->gauges);
}

/* x with that chance of less, where x lies anywhere from low to high, all as
 * likely before it was read. */
static double
quantile(double chance, const struct gauges *g, double low, double high)
{
    const int n = 20000;
    const double step = (high - low) / n;
    double all = 0, sum = 0;
    int i;

    for (i = 0; i < n; i++)
        all += density(g, low + (i + 0.5) * step);
    for (i = 0; i < n && sum < chance * all; i++)
        sum += density(g, low + (i + 0.5) * step);
    return low + i * step;
}

/* Without a cut the ends of one reading are near 62 -+ 1.96 sqrt(2) 1.1547 =
 * 62 -+ 3.2. */
static const struct {
    const char *given;
    double low, high; /* psi */
    struct gauges gauges;
} statics[] = {
    { "40..80 psi", 40, 80, { 1, 1, 62, 2 } },
    { "61..71 psi", 61, 71, { 1, 1, 62, 2 } }, /* cut below */
    { "50..62 psi", 50, 62, { 1, 1, 62, 2 } }, /* and above */
    { "40..80 psi", 40, 80, { 3, 1, 62, 2 } }, /* again and again */
    { "40..80 psi", 40, 80, { 1, 3, 62, 2 } }, /* or by another */
};

START_TEST(learns_one_static_pressure)
{
    const struct gauges *g = &statics[_i].gauges;
    /* what one gauge reads there again and again counts once */
    const struct gauges once = { 1, g->gauges, g->read, g->within };
    const double low = statics[_i].low, high = statics[_i].high;
    char text[2048];
    const fc_learned *l;
    int used, i;

    used = snprintf(text, sizeof text,
                    "[site]\ntitle = Invented\n"
                    "[source main]\nkind = fixed\npressure = %s\n"
                    "[fixture wc]\non = main\n"
                    "kind = water closet, flush valve\n",
                    statics[_i].given);
    for (i = 0; i < g->gauges; i++)
        used += snprintf(text + used, sizeof text - (size_t)used,
                         "[gauge g%d]\nwithin = 2 psi\n", i);
    for (i = 0; i < g->readings * g->gauges; i++)
        used += snprintf(text + used, sizeof text - (size_t)used,
                         "[reading r%d]\nat = main\npressure = 62 psi\n"
                         "gauge = g%d\n",
                         i, i % g->gauges);
    ask(text);
    ck_assert_int_eq(said->verdict, FC_STATIC_ONLY);
    ck_assert_uint_eq(said->n_learned, 1);
    l = &said->learned[0];
    ck_assert_str_eq(l->name, "main");
    ck_assert_int_eq(l->dimension, FC_PRESSURE);
    ck_assert_double_eq_tol(l->given.low / PSI, low, 1e-9);
    /* drawn at random: some 1000 draws that count put an end of 2.5 % within
     * sqrt(0.025 / 1000) / 0.03 = 0.17 psi, 0.03 the density there, one
     * deviation; three of them */
    ck_assert_double_eq_tol(l->low / PSI, quantile(0.025, &once, low, high),
                            0.5);
    ck_assert_double_eq_tol(l->high / PSI, quantile(0.975, &once, low, high),
                            0.5);
    put_away();
}
END_TEST

/* Hazen-Williams as published, V = 1.318 C R^0.63 S^0.54 in feet and seconds,
 * so that S goes with C^-1.852: 25 gpm through 100 ft of 1 in bore [psi]. */
static double
friction(double c)
{
    const double bore = 1.0 / 12, flow = 25 * 231.0 / 1728 / 60;
    const double velocity = flow / (3.14159265358979 / 4 * bore * bore);

    return 0.43310 * 100
           * pow(velocity / (1.318 * c * pow(bore / 4, 0.63)), 1 / 0.54);
}

/* The one pressure behind the pipe leaves of C what loses as much: near 100,
 * 1.852 / 100 of 34.8 psi = 0.64 psi for one of C. */
START_TEST(learns_one_roughness)
{
    const double left = 95 - friction(100),
                 slope = 1.852 / 100 * friction(100);
    const struct gauges g = { 1, 1, left, 1 };
    const double low = 95 - friction(80), high = 95 - friction(120);
    char text[2048];
    const fc_learned *l;

    snprintf(text, sizeof text,
             "[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 95 psi\n"
             "[pipe run]\nfittings = none\nfrom = main\nc = 80..120\n"
             "inside diameter = 1 in\nlength = 100 ft\n"
             "[valve v]\nminimum flowing = 5 psi\nflow = 25 gpm at 5 psi\n"
             "regulated = yes\n"
             "[fixture wc]\non = run\nkind = water closet, flush valve\n"
             "existing = v\n"
             "[reading r]\nat = run\npressure = %.4f psi\nflushing = wc\n"
             "within = 1 psi\n",
             left);
    ask(text);
    ck_assert_int_eq(said->verdict, FC_CHECKS_OUT);
    ck_assert_uint_eq(said->n_learned, 1);
    l = &said->learned[0];
    /* half of the gauge above, so half of what the draws are off by */
    ck_assert_double_eq_tol(l->value, 100, 0.25 / slope);
    ck_assert_double_eq_tol(
        l->low, 100 + (quantile(0.025, &g, low, high) - left) / slope,
        0.25 / slope);
    ck_assert_double_eq_tol(
        l->high, 100 + (quantile(0.975, &g, low, high) - left) / slope,
        0.25 / slope);
    put_away();
}
END_TEST

TCase *
visit_of_buildings(void)
{
    TCase *tcase = tcase_create("buildings");

    tcase_set_timeout(tcase, 600);
    tcase_add_test(tcase, asks_for_what_can_be_done);
    tcase_add_test(tcase, asks_for_no_gauge_where_none_fits);
    tcase_add_test(tcase, finds_nothing_in_a_sound_school);
    tcase_add_test(tcase, learns_what_a_school_is);
    tcase_add_loop_test(tcase, learns_one_static_pressure, 0, COUNT(statics));
    tcase_add_test(tcase, learns_what_buildings_are);
    tcase_add_test(tcase, learns_one_roughness);
    return tcase;
}
