/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_diagnose_recovery.c -- how often the faults that were put
 * into invented buildings are found again by following the diagnosis, and how
 * often something else is.
 *
 * A building is as its file has it, or anywhere within the ranges of its
 * file, with no fault, one or two.  A plumber takes six readings, and then
 * does what each diagnosis asks for, answered by that building.  Each class of
 * buildings is a table of what that led to, and has bars to meet.
 *
 *   DIAGNOSE_SHARE=0.1   runs a tenth of the buildings; the bars, which are
 *                        shares of many, are asserted from 1 on
 *   DIAGNOSE_SHOW=1      prints each that was not found right; 2: every step
 *   DIAGNOSE_CLASS=one   runs that class alone,
 *   DIAGNOSE_SEED=17     and with a seed writes the site file of that
 *                        building, with the first readings
 */
#include "generators/diagnose_visits.h"
#include "generators/sites.h"

#include <math.h>
#include <stdatomic.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#define PROCESSES 2
#define PLACES 5  /* tried in a building until the fault shows */
#define SEEDS 120 /* tried at most for each sample */
#define MOST_KINDS 20
#define MOST_ROWS (MOST_KINDS * (MOST_KINDS - 1) / 2)

#if defined __SANITIZE_ADDRESS__ || defined __SANITIZE_THREAD__
#define USUAL_SHARE 0.05
#elif defined __has_feature
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)       \
    || __has_feature(memory_sanitizer)
#define USUAL_SHARE 0.05
#endif
#endif
#ifndef USUAL_SHARE
#define USUAL_SHARE 1.0
#endif

/* ---- The classes ------------------------------------------------------- */

/* Of the samples of a class.  The bar of one kind is met by 20 samples with
 * one found wrong, and of 100 sound buildings one may be taken apart. */
struct bars {
    double first; /* the true cause in the first group of the first visit */
    double right; /* found right in the end */
    double wrong; /* found wrong, at most; */
    double wrong_of_kind; /* and of any one kind */
    double sound;         /* checks out */
    double open;          /* checks out, or is narrowed down */
};

struct trial {
    const char *name, *about;
    enum sick_ranges ranges;
    struct sick_plan plans[MOST_KINDS];
    size_t n_plans;
    size_t n_faults; /* at once: each plan, or each pair of two */
    int samples;     /* of each kind or pair, by `make check-long`, */
    int usual;       /* and by `make check` */
    int further;     /* readings and looks after the first visit */
    bool steady;     /* no reading is off by more than its gauge */
    struct bars bars;
};

#define KINDS_OF_BUILDING                                                     \
    {                                                                         \
        { .kind = FC_SUPPLY_PRESSURE }, { .kind = FC_SUPPLY_SAG },            \
            { .kind = FC_REDUCER_SETTING }, { .kind = FC_PIPE_ROUGHNESS },    \
            { .kind = FC_BLOCKED }, { .kind = FC_SMALLER_SIZE },              \
            { .kind = FC_LARGER_SIZE }, { .kind = FC_HEIGHT },                \
            { .kind = FC_STOP_THROTTLED }, { .kind = FC_VALVE_RATE },         \
            { .kind = FC_RUNNING_OUTLET }, { .kind = FC_PUMP_OFF },           \
            { .kind = FC_PUMP_WEAK }, { .kind = FC_HOLDS_BACK },              \
            { .kind = FC_LOSES_LESS }, { .kind = FC_VALVE_VOLUME },           \
            { .kind = FC_PRV_NOT_LISTED },                                    \
    }

/* A building that is as its file says must not be taken apart: one in a
 * hundred is sent to work on what is sound. */
#define SOUND_BARS                                                            \
    {                                                                         \
        .wrong = 0.01, .wrong_of_kind = 1, .open = 0.99                       \
    }
/* What is found is work to be done, so that a wrong one costs more than one
 * that is left open. */
#define ONE_FAULT_BARS                                                        \
    {                                                                         \
        .first = 0.97, .right = 0.93, .wrong = 0.01, .wrong_of_kind = 0.05    \
    }

static const struct trial classes[] = {
    { .name = "sound",
      .about = "no fault, the file exact, the needle steady",
      .samples = 200,
      .usual = 60,
      .further = 3,
      .steady = true,
      .bars = { .wrong = 0.01,
                .wrong_of_kind = 1,
                .sound = 0.99,
                .open = 0.99 } },
    /* by more at times than the file takes the gauge to be off by */
    { .name = "sound-swinging",
      .about = "no fault, the file exact, the needle swings",
      .samples = 200,
      .usual = 60,
      .further = 3,
      .bars = SOUND_BARS },
    { .name = "sound-narrow",
      .about = "no fault, C within 5, lengths 5 %, static 2 psi",
      .ranges = SICK_NARROW,
      .samples = 200,
      .usual = 60,
      .further = 3,
      .bars = SOUND_BARS },
    { .name = "sound-medium",
      .about = "no fault, C 80 to 120, lengths within 20 %, static 4 psi, "
               "rises 1 ft, reducers 3 psi, meters 20 %",
      .ranges = SICK_MEDIUM,
      .samples = 200,
      .usual = 60,
      .further = 3,
      .bars = SOUND_BARS },
    { .name = "sound-wide",
      .about = "no fault, C 60 to 120, lengths within 40 %, static 8 psi, "
               "rises 2 ft, valves 15 %, stops to 3 psi",
      .ranges = SICK_WIDE,
      .samples = 200,
      .usual = 60,
      .further = 3,
      .bars = SOUND_BARS },
    { .name = "one",
      .about = "one fault, the file exact",
      .plans = KINDS_OF_BUILDING,
      .n_plans = 17,
      .n_faults = 1,
      .samples = 30,
      .usual = 20,
      .further = 3,
      .bars = ONE_FAULT_BARS },
    { .name = "one-narrow",
      .about = "one fault, C within 5, lengths 5 %, static 2 psi",
      .ranges = SICK_NARROW,
      .plans = KINDS_OF_BUILDING,
      .n_plans = 17,
      .n_faults = 1,
      .samples = 20,
      .usual = 20,
      .further = 3,
      /* What a range takes up is no fault: a loss less than described in a
       * main that may have 2 psi more. */
      .bars = { .first = 0.9,
                .right = 0.88,
                .wrong = 0.01,
                .wrong_of_kind = 0.05 } },
    { .name = "height",
      .about = "a rise off by more than the pipe is long",
      .plans = { { .kind = FC_HEIGHT, .too_far = true } },
      .n_plans = 1,
      .n_faults = 1,
      .samples = 40,
      .usual = 20,
      .further = 3,
      /* A tape tells of one pipe at a time. */
      .bars = { .first = 0.92,
                .right = 0.8,
                .wrong = 0.01,
                .wrong_of_kind = 0.05 } },
    { .name = "readings",
      .about = "a fault of what was read",
      .plans = { { .kind = FC_GAUGE_OFF },
                 { .kind = FC_CHANGED },
                 { .kind = FC_WRONG_READING } },
      .n_plans = 3,
      .n_faults = 1,
      .samples = 40,
      .usual = 40,
      .further = 3,
      /* What was read wrong once is known when it is read again, and then by
       * the second reading against the first. */
      .bars = { .first = 0.8,
                .right = 0.75,
                .wrong = 0.02,
                .wrong_of_kind = 0.05 } },
    { .name = "two",
      .about = "two faults at once, the file exact",
      .plans = { { .kind = FC_SUPPLY_PRESSURE },
                 { .kind = FC_SUPPLY_SAG },
                 { .kind = FC_REDUCER_SETTING },
                 { .kind = FC_BLOCKED },
                 { .kind = FC_PIPE_ROUGHNESS },
                 { .kind = FC_STOP_THROTTLED },
                 { .kind = FC_RUNNING_OUTLET },
                 { .kind = FC_HEIGHT },
                 { .kind = FC_PUMP_WEAK },
                 { .kind = FC_VALVE_RATE },
                 { .kind = FC_VALVE_VOLUME } },
      .n_plans = 11,
      .n_faults = 2,
      .samples = 5,
      .usual = 2,
      .further = 4,
      /* Half of the readings of a first visit see both at once, so that more
       * is left open. */
      .bars = { .right = 0.7, .wrong = 0.05, .wrong_of_kind = 1 } },
};

#define CLASSES (sizeof classes / sizeof *classes)

/* A kind, or a pair of two. */
struct row {
    size_t plans[SICK_FAULTS];
};

static size_t
rows_of(const struct trial *c, struct row rows[MOST_ROWS])
{
    size_t n = 0, i, k;

    if (c->n_faults == 0)
        rows[n++] = (struct row){ { 0 } };
    for (i = 0; i < c->n_plans; i++)
        for (k = i + 1; c->n_faults == 2 && k < c->n_plans; k++)
            rows[n++] = (struct row){ { i, k } };
    for (i = 0; c->n_faults == 1 && i < c->n_plans; i++)
        rows[n++] = (struct row){ { i } };
    return n;
}

static bool
is_timed(const struct sick_building *b)
{
    size_t i;

    for (i = 0; i < b->n_faults; i++)
        if (b->faults[i].kind == FC_VALVE_VOLUME)
            return true;
    return false;
}

/* A fault that shows by itself, at one of a few places. */
static bool
infect(struct sick_building *b, const struct sick_plan *plan, gsl_rng *rng)
{
    const size_t before = b->n_faults;
    int i;

    for (i = 0; i < PLACES; i++) {
        b->n_faults = before;
        if (!sick_infect(b, plan, rng))
            return false;
        if (visit_shows(b, &b->faults[before], is_timed(b)))
            return true;
    }
    return false;
}

/* The building of that number; the number tells the kinds too, so that they
 * come in turn.  False where it cannot have those, or they do not show. */
static bool
make_sample(struct sick_building *b, const struct trial *c, unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct row rows[MOST_ROWS];
    const struct row *row = &rows[seed % rows_of(c, rows)];
    bool made = true;
    size_t i;

    sick_must(rng != NULL, "no memory");
    gsl_rng_set(rng, seed + 77777);
    sick_make(b, seed, c->ranges);
    b->steady = c->steady;
    for (i = 0; i < c->n_faults && made; i++)
        made = infect(b, &c->plans[row->plans[i]], rng);
    gsl_rng_free(rng);
    return made;
}

/* ---- What is right ----------------------------------------------------- */

/* All pipes are of one material; one that is rough may be found alone or at
 * one end of a run that is. */
static bool
is_roughness(const struct sick_building *b, const struct sick_fault *fault,
             const fc_fault *f)
{
    if (strcmp(f->element, b->b.settings.material) == 0)
        return fault->all;
    if (fault->all)
        return f->last != NULL; /* all that the readings saw of it */
    return !f->last && strcmp(f->element, b->b.parts[fault->at].as.name) == 0;
}

/* One of those that were taken while those on top flushed. */
static bool
is_of_first_round(const fc_fault *f)
{
    return f->element[0] == 'r' && f->element[1] >= '2' && f->element[1] <= '4'
           && f->element[2] == '\0';
}

static bool
is_fault(const struct sick_building *b, const struct sick_fault *fault,
         const fc_fault *f)
{
    const struct building_part *part = &b->b.parts[fault->at];
    char name[16];

    /* where a reducer hides it from the others, of one reading */
    if (f->kind == FC_WRONG_READING && fault->kind == FC_CHANGED)
        return is_of_first_round(f);
    if (f->kind != fault->kind)
        return false;
    switch (f->kind) {
    case FC_PIPE_ROUGHNESS:
        return is_roughness(b, fault, f);
    case FC_RUNNING_OUTLET: /* known by where its branch leaves what was read
                             */
        return sick_is_above(b, part->as.fixture.on, f->element);
    case FC_GAUGE_OFF:
        return true;
    case FC_CHANGED:
        return is_of_first_round(f);
    case FC_WRONG_READING:
        snprintf(name, sizeof name, "r%zu", fault->at);
        return strcmp(f->element, name) == 0;
    default:
        return strcmp(f->element, part->as.name) == 0;
    }
}

/* Whether all that a cause names is so: of two faults, one of them or both. */
static bool
is_true(const struct sick_building *b, const fc_cause *cause)
{
    bool taken[SICK_FAULTS] = { false };
    size_t i, k;

    for (i = 0; i < cause->n_faults; i++) {
        for (k = 0; k < b->n_faults; k++)
            if (!taken[k] && is_fault(b, &b->faults[k], &cause->faults[i]))
                break;
        if (k == b->n_faults)
            return false;
        taken[k] = true;
    }
    return true;
}

/* And all that is so is named. */
static bool
is_whole(const struct sick_building *b, const fc_cause *cause)
{
    return cause->n_faults == b->n_faults && is_true(b, cause);
}

static bool
in_first_group(const struct sick_building *b, const fc_diagnosis *d)
{
    size_t i;

    for (i = 0; i < d->n_causes; i++)
        if (d->causes[i].group == 0 && is_whole(b, &d->causes[i]))
            return true;
    return false;
}

static bool
is_found(const struct sick_building *b, const fc_diagnosis *d,
         bool (*is)(const struct sick_building *, const fc_cause *))
{
    size_t i;

    for (i = 0; i < d->n_causes; i++)
        if (d->causes[i].found && is(b, &d->causes[i]))
            return true;
    return false;
}

/* The verdict, or what it would be by the rest of the diagnosis. */
static fc_diagnosed
verdict_of(const fc_diagnosis *d)
{
    if (d->verdict != FC_NOTHING_READ)
        return d->verdict;
    if (d->decided && d->n_causes > 0)
        return d->causes[0].n_faults == 2 ? FC_TWO_FAULTS : FC_ONE_FAULT;
    if (d->explained)
        return FC_NARROWED_DOWN;
    return d->contradictory  ? FC_READINGS_DISAGREE
           : d->as_described ? FC_CHECKS_OUT
                             : FC_NOT_EXPLAINED;
}

/* ---- Following a diagnosis --------------------------------------------- */

enum end {
    END_RIGHT,     /* found */
    END_WRONG,     /* something that is sound was found */
    END_HALF,      /* found was one of two */
    END_FIRST,     /* narrowed down, the true cause in the first group, */
    END_NARROWED,  /* or not */
    END_SOUND,     /* checks out */
    END_UNCERTAIN, /* not explained, or the readings disagree */
    END_REFUSED,   /* by the library: none may be */
    ENDS
};

static const char *const end_words[] = { "right",   "wrong",  "half",
                                         "first",   "narrow", "sound",
                                         "unknown", "refused" };

static enum end
end_of(const struct sick_building *b, const fc_diagnosis *d)
{
    switch (verdict_of(d)) {
    case FC_ONE_FAULT:
    case FC_TWO_FAULTS:
        return is_found(b, d, is_whole)  ? END_RIGHT
               : is_found(b, d, is_true) ? END_HALF
                                         : END_WRONG;
    case FC_CHECKS_OUT:
    case FC_CHECKS_OUT_SHORT:
    case FC_STATIC_ONLY:
        return END_SOUND;
    case FC_NARROWED_DOWN:
        if (!in_first_group(b, d))
            return END_NARROWED;
        /* of two faults at once, that they are the likeliest pair is enough */
        return b->n_faults == 2 ? END_RIGHT : END_FIRST;
    default:
        return END_UNCERTAIN;
    }
}

struct tally {
    int samples, seeds, first;
    int ends[ENDS];
    int readings, looks; /* after the first visit */
};

static void
add_to(struct tally *sum, const struct tally *t)
{
    int i;

    sum->samples += t->samples;
    sum->seeds += t->seeds;
    sum->first += t->first;
    for (i = 0; i < ENDS; i++)
        sum->ends[i] += t->ends[i];
    sum->readings += t->readings;
    sum->looks += t->looks;
}

static void
show(const struct trial *c, const struct sick_building *b, enum end end,
     bool first, const fc_diagnosis *d)
{
    size_t i;

    printf("# %s %lu: %s%s", c->name, b->b.seed, end_words[end],
           first || b->n_faults == 0 ? "" : ", not in the first group");
    for (i = 0; i < b->n_faults; i++) {
        const struct sick_fault *f = &b->faults[i];

        printf("; %s %s%s %.3g", fc_fault_word(f->kind),
               f->kind == FC_WRONG_READING ? "r" : b->b.parts[f->at].as.name,
               f->all ? " (all pipes)" : "", f->value);
        if (f->kind == FC_WRONG_READING)
            printf(" of r%zu", f->at);
    }
    printf("\n#   %s\n", d->text);
    if (d->next.task)
        printf("#   next: %s\n", d->next.task);
    fflush(stdout); /* whole, beside those of the other process */
}

/* NULL where the file or its diagnosis is refused; says why. */
static fc_diagnosis *
diagnosis_of(const struct visit *v, fc_site **site)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_diagnosis *d = NULL;
    fc_status status;

    *site = NULL;
    status = fc_site_read_text(v->text, v->used, "sick.ini", site, messages);
    if (status == FC_OK)
        status = fc_diagnose(*site, NULL, &d, messages);
    if (status != FC_OK && v->n_looks == 0)
        printf("# refused, of %s: %s", v->b->b.settings.title,
               all_messages(messages));
    fc_diagnostics_free(messages);
    return d;
}

static bool
is_over(enum end end)
{
    return end == END_RIGHT || end == END_WRONG || end == END_SOUND;
}

/* A look that is refused is none. */
static void
follow(const struct trial *c, struct visit *v, struct tally *t)
{
    const struct sick_building *b = v->b;
    const enum end wanted = b->n_faults > 0 ? END_RIGHT : END_SOUND;
    const size_t read_first = v->n_readings;
    enum end end = END_REFUSED;
    bool first = false, more = true;
    int taken;

    for (taken = 0; more; taken++) {
        fc_site *site;
        fc_diagnosis *d = diagnosis_of(v, &site);

        more = false;
        if (d) {
            end = end_of(b, d);
            first |= taken == 0 && in_first_group(b, d);
            if (getenv("DIAGNOSE_SHOW") && getenv("DIAGNOSE_SHOW")[0] == '2')
                printf("#   step of %lu: %s\n#     %s\n", b->b.seed, d->text,
                       d->next.task ? d->next.task : "");
            more = taken < c->further && !is_over(end)
                   && visit_go_on(v, &d->next);
        } else if (v->n_looks == 0)
            end = END_REFUSED;
        if (d && !more && getenv("DIAGNOSE_SHOW")
            && (end != wanted || (!first && b->n_faults == 1)))
            show(c, b, end, first, d);
        fc_diagnosis_free(d);
        fc_site_free(site);
    }
    t->first += first;
    t->ends[end]++;
    t->readings += (int)(v->n_readings - read_first);
    t->looks += (int)v->n_looks;
}

static bool
try_sample(const struct trial *c, unsigned long seed, struct tally *t)
{
    struct sick_building *b = malloc(sizeof *b);
    struct visit visit;
    bool counts;

    sick_must(b != NULL, "no memory");
    t->seeds++;
    counts = make_sample(b, c, seed);
    if (counts) {
        counts = visit_begin(&visit, b, is_timed(b));
        if (counts)
            follow(c, &visit, t);
        visit_end(&visit);
    }
    t->samples += counts;
    sick_free(b);
    free(b);
    return counts;
}

/* ---- All of them ------------------------------------------------------- */

static double
share(void)
{
    const char *text = getenv("DIAGNOSE_SHARE");

    return text ? strtod(text, NULL) : USUAL_SHARE;
}

static int
wanted(const struct trial *c)
{
    return usual(c->usual, c->samples);
}

static bool
is_asked_for(const struct trial *c)
{
    const char *name = getenv("DIAGNOSE_CLASS");

    return !name || strcmp(name, c->name) == 0;
}

static void
run_row(const struct trial *c, size_t row, size_t n_rows, struct tally *t)
{
    const int samples = (int)ceil(share() * wanted(c));
    int i;

    for (i = 0; i < SEEDS * samples && t->samples < samples; i++)
        try_sample(c, row + n_rows * (unsigned long)i, t);
}

/* In memory that the processes share. */
struct results {
    atomic_size_t next; /* row of all classes */
    struct tally tallies[CLASSES][MOST_ROWS];
};

static struct results *results;

static void
run_rows(void)
{
    struct row rows[MOST_ROWS];
    size_t mine = atomic_fetch_add(&results->next, 1), at = 0, k, i;

    for (k = 0; k < CLASSES; k++) {
        const size_t n = rows_of(&classes[k], rows);

        for (i = 0; i < n && is_asked_for(&classes[k]); i++, at++)
            if (at == mine) {
                run_row(&classes[k], i, n, &results->tallies[k][i]);
                mine = atomic_fetch_add(&results->next, 1);
            }
    }
    fflush(stdout);
}

static void
run_classes(void)
{
    FILE *file = tmpfile();
    int i, status;

    sick_must(file && ftruncate(fileno(file), sizeof *results) == 0,
              "no file");
    results = mmap(NULL, sizeof *results, PROT_READ | PROT_WRITE, MAP_SHARED,
                   fileno(file), 0);
    sick_must(results != MAP_FAILED, "no memory");
    fclose(file);
    fflush(stdout);
    for (i = 1; i < PROCESSES; i++) {
        const pid_t child = fork();

        sick_must(child >= 0, "no process");
        if (child == 0) {
            run_rows();
            _exit(0);
        }
    }
    run_rows();
    while (wait(&status) > 0)
        sick_must(status == 0, "a process failed");
}

/* ---- Tables and bars --------------------------------------------------- */

static void
print_row(const char *name, const struct tally *t)
{
    int i;

    printf("# %-33s %4d %4d", name, t->samples, t->first);
    for (i = 0; i < ENDS; i++)
        printf(" %7d", t->ends[i]);
    printf("  %4.2f %4.2f\n", t->readings / fmax(1, t->samples),
           t->looks / fmax(1, t->samples));
}

static struct tally
print_class(size_t k)
{
    const struct trial *c = &classes[k];
    struct row rows[MOST_ROWS];
    const size_t n = rows_of(c, rows);
    struct tally sum = { 0 };
    size_t i;
    int end;

    printf("#\n# %s: %s\n# %-33s %4s %4s", c->name, c->about, "fault", "n",
           "1st");
    for (end = 0; end < ENDS; end++)
        printf(" %7s", end_words[end]);
    printf("  %4s %4s\n", "read", "look");
    for (i = 0; i < n; i++) {
        const struct tally *t = &results->tallies[k][i];
        char name[64] = "none";

        if (c->n_faults > 0)
            snprintf(name, sizeof name, "%s",
                     fc_fault_word(c->plans[rows[i].plans[0]].kind));
        if (c->n_faults == 2)
            snprintf(name + strlen(name), sizeof name - strlen(name), ", %s",
                     fc_fault_word(c->plans[rows[i].plans[1]].kind));
        add_to(&sum, t);
        print_row(name, t);
    }
    print_row("all", &sum);
    return sum;
}

/* Adds to the text what a class misses. */
static void
hold(char *missed, size_t room, const char *what, int n, int of, bool holds)
{
    const size_t used = strlen(missed);

    if (!holds)
        snprintf(missed + used, room - used, "; %s %d of %d", what, n, of);
}

static void
hold_to(const struct trial *c, size_t k, const struct tally *sum, char *missed,
        size_t room)
{
    struct row rows[MOST_ROWS];
    const size_t n_rows = rows_of(c, rows);
    const struct bars *bars = &c->bars;
    const int n = sum->samples, *ends = sum->ends;
    const int open = ends[END_SOUND] + ends[END_NARROWED] + ends[END_FIRST];
    size_t i;

    /* all that were to be made; no building has both a reducer and a pump */
    hold(missed, room, "samples", n, (int)n_rows * wanted(c),
         n >= ((int)n_rows - (c->n_faults == 2)) * wanted(c));
    hold(missed, room, "refused", ends[END_REFUSED], n,
         ends[END_REFUSED] == 0);
    hold(missed, room, "in the first group", sum->first, n,
         sum->first >= bars->first * n);
    hold(missed, room, "found right", ends[END_RIGHT], n,
         ends[END_RIGHT] >= bars->right * n);
    hold(missed, room, "found wrong", ends[END_WRONG], n,
         ends[END_WRONG] <= bars->wrong * n);
    hold(missed, room, "checked out", ends[END_SOUND], n,
         ends[END_SOUND] >= bars->sound * n);
    hold(missed, room, "checked out or narrowed down", open, n,
         open >= bars->open * n);
    for (i = 0; i < n_rows; i++) {
        const struct tally *t = &results->tallies[k][i];
        char what[80];

        snprintf(what, sizeof what, "found wrong where %s",
                 fc_fault_word(c->plans[rows[i].plans[0]].kind));
        hold(missed, room, what, t->ends[END_WRONG], t->samples,
             t->ends[END_WRONG] <= bars->wrong_of_kind * t->samples);
    }
}

START_TEST(meets_its_bars)
{
    const struct trial *c = &classes[_i];
    char missed[1024] = "";
    struct tally sum;

    if (!is_asked_for(c))
        return;
    sum = print_class((size_t)_i);
    fflush(stdout);
    if (share() >= 1)
        hold_to(c, (size_t)_i, &sum, missed, sizeof missed);
    ck_assert_msg(missed[0] == '\0', "%s%s", c->name, missed);
}
END_TEST

static void
write_sample(const struct trial *c, unsigned long seed)
{
    struct sick_building b;
    struct visit v;

    if (!make_sample(&b, c, seed) || !visit_begin(&v, &b, is_timed(&b))) {
        fprintf(stderr, "%s %lu does not count\n", c->name, seed);
        exit(EXIT_FAILURE);
    }
    printf("%.*s", (int)v.used, v.text);
    visit_end(&v);
    sick_free(&b);
}

int
main(void)
{
    const char *seed = getenv("DIAGNOSE_SEED");
    Suite *suite = suite_create("diagnose recovery");
    TCase *tcase = tcase_create("classes");
    size_t i;

    for (i = 0; seed && i < CLASSES; i++)
        if (getenv("DIAGNOSE_CLASS") && is_asked_for(&classes[i]))
            write_sample(&classes[i], strtoul(seed, NULL, 10));
    if (seed)
        return EXIT_SUCCESS;
    run_classes();
    tcase_add_loop_test(tcase, meets_its_bars, 0, (int)CLASSES);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
