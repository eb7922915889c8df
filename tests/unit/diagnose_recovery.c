/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/diagnose_recovery.c -- whether the fault that was put into a
 * building is found again from readings to 1 psi, and whether following the
 * next reading, answered by that building, leads to it.
 */
#include "generators/diagnose_buildings.h"
#include "unit/diagnose_suite.h"

#include <math.h>

#define BUILDINGS 300
#define HEALTHY 60
#define FURTHER 3  /* readings that the plumber takes after the first */
#define WITHIN 2.0 /* psi, the accuracy that a site file defaults to */
#define KINDS (FC_WRONG_READING + 1)
#define TEXT 131072

struct reading {
    const char *at;
    fc_flushing flush[SICK_MOST];
    size_t n;
};

/* ---- Readings of a plumber --------------------------------------------- */

/* With nothing flowing at the service and on top; then one closet on top,
 * gauges there, at its branch and behind the meter; then one of the first
 * floor, at the first riser. */
static size_t
first_readings(const struct sick_building *b, struct reading *list)
{
    const fc_fixture *top = sick_fixture(b, true);
    const fc_fixture *low = sick_fixture(b, false);
    const fc_flushing flush_top = { top->count, top->name };
    const fc_flushing flush_low = { 1, low->name };

    list[0] = (struct reading){ .at = "service" };
    list[1] = (struct reading){ .at = top->on };
    list[2] = (struct reading){ top->on, { flush_top }, 1 };
    list[3] = (struct reading){ top->name, { flush_top }, 1 };
    list[4] = (struct reading){ "meter", { flush_top }, 1 };
    list[5] = (struct reading){ "riser-1", { flush_low }, 1 };
    return SICK_READINGS;
}

static double
round_reading(double psi)
{
    return floor(psi + 0.5);
}

struct file {
    char *text;
    size_t used, n;
};

/* False where no reading can be computed. */
static bool
add_reading(struct file *file, const struct reading *r, double shown)
{
    size_t i;

    if (isnan(shown))
        return false;
    file->used +=
        (size_t)snprintf(file->text + file->used, TEXT - file->used,
                         "[reading r%zu]\nat = %s\npressure = %.0f psi\n",
                         file->n++, r->at, round_reading(shown));
    for (i = 0; i < r->n; i++)
        file->used += (size_t)snprintf(
            file->text + file->used, TEXT - file->used, "%s%d of %s%s",
            i == 0 ? "flushing = " : ", ", r->flush[i].count,
            r->flush[i].fixture, i + 1 == r->n ? "\n" : "");
    ck_assert_uint_lt(file->used, TEXT);
    return true;
}

/* The reading with this number, or one taken later. */
static double
what_is_read(const struct sick_building *b, const struct reading *r, size_t i)
{
    struct sick_building then = *b;
    double off = 0;

    if (b->sick && b->fault.kind == FC_CHANGED && i >= 2 && i < 5)
        then.fault.kind = FC_SUPPLY_PRESSURE; /* while one on top flushed */
    if (b->sick
        && (b->fault.kind == FC_GAUGE_OFF
            || (b->fault.kind == FC_WRONG_READING && b->fault.at == i)))
        off = b->fault.value;
    return sick_shows(&then, true, r->at, r->flush, r->n) + off;
}

static bool
begin_file(struct file *file, const struct sick_building *b, bool *shifted)
{
    struct reading *list = calloc(16, sizeof *list);
    char *plain =
        building_text(&b->b, &(struct building_style){ .units = FC_US });
    size_t i, n;
    bool found = true;

    ck_assert_ptr_nonnull(list);
    file->text = malloc(TEXT);
    ck_assert_ptr_nonnull(file->text);
    file->used = (size_t)snprintf(file->text, TEXT, "%s", plain);
    file->n = 0;
    free(plain);
    n = first_readings(b, list);
    *shifted = false;
    for (i = 0; i < n && found; i++) {
        const double was =
            sick_shows(b, false, list[i].at, list[i].flush, list[i].n);
        const double is = what_is_read(b, &list[i], i);

        *shifted |= fabs(was - is) > WITHIN;
        found = is > 0 && add_reading(file, &list[i], is);
    }
    free(list);
    return found;
}

/* ---- Whether it was found ---------------------------------------------- */

/* A valve that runs is known by where its branch leaves what was read. */
static bool
is_above(const struct sick_building *b, const char *at, const char *name)
{
    for (; at; at = building_from(building_find(&b->b, false, at)))
        if (strcmp(at, name) == 0)
            return true;
    return false;
}

/* All pipes are of one material; one that is rough may be found alone or at
 * one end of a run that is. */
static bool
is_roughness(const struct sick_building *b, const fc_fault *f)
{
    if (strcmp(f->element, b->b.settings.material) == 0)
        return b->fault.all;
    if (b->fault.all)
        return f->last != NULL; /* all that the readings saw of it */
    return !f->last
           && strcmp(f->element, b->b.parts[b->fault.at].as.name) == 0;
}

/* One of those that were taken while one on top flushed. */
static bool
is_of_first_round(const fc_fault *f)
{
    return f->element[0] == 'r' && f->element[1] >= '2' && f->element[1] <= '4'
           && f->element[2] == '\0';
}

static bool
is_fault(const struct sick_building *b, const fc_cause *cause)
{
    const fc_fault *f = &cause->faults[0];
    const struct sick_fault *true_one = &b->fault;
    const struct building_part *part = &b->b.parts[true_one->at];
    char name[16];

    /* where a reducer hides it from the others, of one reading */
    if (cause->n_faults == 1 && f->kind == FC_WRONG_READING
        && true_one->kind == FC_CHANGED)
        return is_of_first_round(f);
    if (cause->n_faults != 1 || f->kind != true_one->kind)
        return false;
    switch (f->kind) {
    case FC_PIPE_ROUGHNESS:
        return is_roughness(b, f);
    case FC_RUNNING_OUTLET:
        return is_above(b, part->as.fixture.on, f->element);
    case FC_GAUGE_OFF:
        return true;
    case FC_CHANGED:
        return is_of_first_round(f);
    case FC_WRONG_READING:
        snprintf(name, sizeof name, "r%zu", true_one->at);
        return strcmp(f->element, name) == 0;
    default:
        return strcmp(f->element, part->as.name) == 0;
    }
}

/* Whether a cause of the first group is the fault. */
static bool
in_first(const struct sick_building *b, const fc_diagnosis *d)
{
    size_t i;

    for (i = 0; i < d->n_causes; i++)
        if (d->causes[i].group == 0 && is_fault(b, &d->causes[i]))
            return true;
    return false;
}

static bool
in_play(const struct sick_building *b, const fc_diagnosis *d)
{
    size_t i;

    for (i = 0; i < d->n_causes; i++)
        if (is_fault(b, &d->causes[i]))
            return true;
    return false;
}

/* Whether the fault is among what the readings decide for. */
static bool
is_found(const struct sick_building *b, const fc_diagnosis *d)
{
    size_t i;

    for (i = 0; i < d->n_causes; i++)
        if (d->causes[i].found && is_fault(b, &d->causes[i]))
            return true;
    return false;
}

/* What nothing more can tell apart counts as reached. */
static bool
has_reached(const struct sick_building *b, const fc_diagnosis *d)
{
    return d->decided ? is_found(b, d) : !d->next.at && in_first(b, d);
}

/* ---- Following the next reading ---------------------------------------- */

static fc_diagnosis *
diagnose_file(const struct file *file, fc_site **site)
{
    fc_diagnostics *messages = fc_diagnostics_new();

    *site = NULL;
    ck_assert_msg(
        fc_site_read_text(file->text, file->used, "sick.ini", site, messages)
            == FC_OK,
        "%s%s", all_messages(messages), file->text);
    fc_diagnostics_free(messages);
    return diagnosis_of(*site);
}

/* A flush of 1.6 gal, timed to a tenth of a second. */
static bool
add_flow(struct file *file, const fc_next_reading *next, double gpm)
{
    if (isnan(gpm))
        return false;
    file->used += (size_t)snprintf(
        file->text + file->used, TEXT - file->used,
        "[reading r%zu]\nat = %s\nflush time = %.1f s\nflushing = 1 of %s\n",
        file->n++, next->at, 1.6 / gpm * 60, next->at);
    ck_assert_uint_lt(file->used, TEXT);
    return true;
}

/* The same site with the answer to the next reading. */
static bool
answer(struct file *file, const struct sick_building *b,
       const fc_next_reading *next)
{
    struct reading r = { .at = next->at, .n = next->n_flush };
    size_t i;

    ck_assert_uint_lt(r.n, SICK_MOST);
    for (i = 0; i < r.n; i++)
        r.flush[i] = next->flush[i];
    if (next->dimension == FC_FLOW)
        return add_flow(file, next, sick_flow(b, true, next->flush));
    return add_reading(file, &r, what_is_read(b, &r, SICK_READINGS));
}

/* Where it leads, in at most FURTHER readings. */
enum end {
    END_LOST,
    END_REACHED, /* nothing more can tell apart what holds the fault */
    END_FOUND,
    END_WRONG /* something else was taken as found */
};

static enum end
follow(struct file *file, const struct sick_building *b)
{
    bool reached = false, more = true, wrong = false, decided = false;
    int taken;

    for (taken = 0; more && !reached; taken++) {
        fc_site *site;
        fc_diagnosis *d = diagnose_file(file, &site);

        reached = has_reached(b, d);
        decided = reached && d->decided;
        wrong = d->decided && !reached;
        more = !reached && d->next.at && taken < FURTHER
               && answer(file, b, &d->next);
        if (!more && !reached && getenv("DIAGNOSE_SHOW"))
            printf("# %lu %s at %zu: %s | %s\n", b->b.seed,
                   fc_fault_word(b->fault.kind), b->fault.at, d->text,
                   d->next.text ? d->next.text : "");
        fc_diagnosis_free(d);
        fc_site_free(site);
    }
    return wrong     ? END_WRONG
           : decided ? END_FOUND
           : reached ? END_REACHED
                     : END_LOST;
}

/* ---- The tallies ------------------------------------------------------- */

struct tally {
    int shifted, first, play;
    int ends[END_WRONG + 1];
    int as[KINDS]; /* the kind of the heaviest cause */
};

static void
add_to(struct tally *sum, const struct tally *t)
{
    int i;

    sum->shifted += t->shifted;
    sum->first += t->first;
    sum->play += t->play;
    for (i = 0; i <= END_WRONG; i++)
        sum->ends[i] += t->ends[i];
}

static int
reached(const struct tally *t)
{
    return t->ends[END_REACHED] + t->ends[END_FOUND];
}

static void
print_tallies(const struct tally *by_kind)
{
    struct tally sum = { 0 };
    int k, other;

    for (k = 0; k < KINDS; k++) {
        const struct tally *t = &by_kind[k];

        add_to(&sum, t);
        printf("# %-13s %3d shifted, %3d in the first group, %3d in play, "
               "%3d reached (%d found), %d found wrong; heaviest:",
               fc_fault_word((fc_cause_kind)k), t->shifted, t->first, t->play,
               reached(t), t->ends[END_FOUND], t->ends[END_WRONG]);
        for (other = 0; other < KINDS; other++)
            if (t->as[other] > 0)
                printf(" %s %d", fc_fault_word((fc_cause_kind)other),
                       t->as[other]);
        printf("\n");
    }
    printf("# all: %d shifted, %.1f %% in the first group, %.1f %% in play, "
           "%.1f %% reached in %d readings (%.1f %% found), %.1f %% found "
           "wrong\n",
           sum.shifted, 100.0 * sum.first / sum.shifted,
           100.0 * sum.play / sum.shifted, 100.0 * reached(&sum) / sum.shifted,
           FURTHER, 100.0 * sum.ends[END_FOUND] / sum.shifted,
           100.0 * sum.ends[END_WRONG] / sum.shifted);
}

static void
try_building(unsigned long seed, struct tally *by_kind)
{
    struct sick_building *b = malloc(sizeof *b);
    struct file file;
    struct tally *t;
    fc_site *site;
    fc_diagnosis *d;
    bool shifted;

    ck_assert_ptr_nonnull(b);
    sick_make(b, seed);
    sick_infect(b, seed);
    t = &by_kind[b->fault.kind];
    if (begin_file(&file, b, &shifted) && shifted) {
        d = diagnose_file(&file, &site);
        t->shifted++;
        t->first += in_first(b, d);
        t->play += in_play(b, d);
        if (d->n_causes > 0)
            t->as[d->causes[0].faults[0].kind]++;
        if (!in_first(b, d) && getenv("DIAGNOSE_SHOW"))
            printf("# first %lu %s at %zu: %s\n", b->b.seed,
                   fc_fault_word(b->fault.kind), b->fault.at, d->text);
        fc_diagnosis_free(d);
        fc_site_free(site);
        t->ends[follow(&file, b)]++;
    }
    free(file.text);
    building_free(&b->b);
    free(b);
}

/* The bars: nine of ten in the first group, 85 of a hundred reached, and two
 * of a hundred at most sent to the wrong place. */
START_TEST(finds_the_fault)
{
    struct tally by_kind[KINDS] = { { 0 } }, sum = { 0 };
    unsigned long seed;
    int k;

    for (seed = 0; seed < BUILDINGS; seed++)
        try_building(seed, by_kind);
    print_tallies(by_kind);
    for (k = 0; k < KINDS; k++)
        add_to(&sum, &by_kind[k]);
    ck_assert_int_gt(sum.shifted, BUILDINGS / 2);
    ck_assert_msg(sum.first >= 0.90 * sum.shifted,
                  "%d of %d in the first "
                  "group",
                  sum.first, sum.shifted);
    ck_assert_msg(reached(&sum) >= 0.85 * sum.shifted, "%d of %d reached",
                  reached(&sum), sum.shifted);
    ck_assert_msg(sum.ends[END_WRONG] <= 0.02 * sum.shifted,
                  "%d of %d found wrong", sum.ends[END_WRONG], sum.shifted);
}
END_TEST

START_TEST(finds_none_in_a_sound_building)
{
    int sound = 0;
    unsigned long seed;

    for (seed = 5000; seed < 5000 + HEALTHY; seed++) {
        struct sick_building *b = malloc(sizeof *b);
        struct file file;
        fc_site *site;
        fc_diagnosis *d;
        bool shifted;

        ck_assert_ptr_nonnull(b);
        sick_make(b, seed);
        ck_assert(begin_file(&file, b, &shifted));
        d = diagnose_file(&file, &site);
        sound += d->as_described && !d->contradictory;
        fc_diagnosis_free(d);
        fc_site_free(site);
        free(file.text);
        building_free(&b->b);
        free(b);
    }
    ck_assert_msg(sound >= 0.95 * HEALTHY, "%d of %d", sound, HEALTHY);
}
END_TEST

TCase *
diagnose_recovery(void)
{
    TCase *tcase = tcase_create("recovery");

    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, finds_the_fault);
    tcase_add_test(tcase, finds_none_in_a_sound_building);
    return tcase;
}
