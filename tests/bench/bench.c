/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench.c -- how long reading, building and checking take.
 *
 * Run by `make bench`.  Each case has a process of its own.  Its first run
 * pays for every page of memory that the system hands out, which in a virtual
 * machine may cost more than the work itself: its whole time is printed as
 * "first".  Then it is run five times on memory that it keeps, and the median
 * of each step is printed, and the most memory that the process held.  The
 * buildings are invented: a tower, one riser as long as it gets with closets
 * on every fourth floor, and a wide tree, where every pipe feeds eight others.
 * A sound one has bores so wide that all works and little is to be said; in a
 * short one nothing works, and a sentence or two is written on every pipe and
 * fixture.  A last column is time per element against the row above: where
 * time is linear it is about 1.
 */
#include "flushcalc.h"
#include "bench/stopwatch.h"
#include "unit/us_units.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define RUNS 5

enum shape { TOWER, WIDE };
static const char *const shape_names[] = { "tower", "wide tree" };

enum step { MAKE, FINISH, CHECK, STEPS };

struct times {
    double of[STEPS]; /* s; those of a file are in FINISH and CHECK */
    double first;     /* all steps of the first run */
    long memory;      /* kB */
};

struct bench_case {
    size_t elements;
    enum shape shape;
    enum content { SOUND, SHORT, SIX_KEYS } content;
};

/* ---- Buildings -------------------------------------------------------- */

/* The element that feeds element i. */
static size_t
parent_of(const struct bench_case *c, size_t i)
{
    return c->shape == TOWER ? i - 1 : (i - 1) / 8;
}

/* Where a fixture hangs: on every fourth floor of the tower's riser, on the
 * ends of the tree; beside sections of six keys each, on the last alone. */
static bool
has_fixture(const struct bench_case *c, size_t i)
{
    if (c->content == SIX_KEYS)
        return i == c->elements - 1;
    return c->shape == TOWER ? i % 4 == 3 || i == c->elements - 1
                             : 8 * i + 1 >= c->elements;
}

/* ---- By calls --------------------------------------------------------- */

static void
add_pipe(fc_site *site, const struct bench_case *c, size_t i)
{
    static const fc_fitting fittings[] = { { 1, "tee run" } };
    char name[32], from[32];
    fc_pipe pipe = { .name = name,
                     .from = from,
                     .length = fc_exactly(12 * FOOT),
                     .rise = fc_exactly(0.001 * FOOT) };

    if (c->content == SOUND) {
        pipe.c = fc_exactly(140);
        pipe.inside_diameter = fc_exactly(100 * INCH);
        pipe.no_fittings = true;
    } else {
        pipe.size = fc_exactly(2 * INCH);
        pipe.fittings = fittings;
        pipe.n_fittings = 1;
    }
    snprintf(name, sizeof name, "e%zu", i);
    snprintf(from, sizeof from, "e%zu", parent_of(c, i));
    if (fc_site_add_pipe(site, &pipe, NULL) != FC_OK)
        fail("a pipe was refused");
}

static void
add_fixture(fc_site *site, size_t i)
{
    char name[32], on[32];
    fc_fixture fixture = { .name = name,
                           .on = on,
                           .kind = "water closet, flush valve",
                           .count = 2,
                           .supply_size = fc_exactly(INCH),
                           .retrofit = "siphonic closet 1.28 gal" };

    snprintf(name, sizeof name, "f%zu", i);
    snprintf(on, sizeof on, "e%zu", i);
    if (fc_site_add_fixture(site, &fixture, NULL) != FC_OK)
        fail("a fixture was refused");
}

static fc_site *
build(const struct bench_case *c)
{
    const fc_settings settings = { .material = "copper L",
                                   .condition = FC_NEW };
    const fc_source source = { .name = "e0",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(80 * PSI) };
    fc_site *site = fc_site_new();
    size_t i;

    if (!site || fc_site_set(site, &settings, NULL) != FC_OK
        || fc_site_add_source(site, &source, NULL) != FC_OK)
        fail("the site cannot be begun");
    for (i = 1; i < c->elements; i++) {
        add_pipe(site, c, i);
        if (has_fixture(c, i))
            add_fixture(site, i);
    }
    return site;
}

static void
check(const fc_site *site, struct times *times)
{
    /* flush events have a benchmark of their own */
    const fc_check_options options = { .peak_only = true };
    const double start = now();
    fc_check_result *result = NULL;

    if (fc_check_with(site, &options, &result, NULL) != FC_OK)
        fail("the site cannot be checked");
    times->of[CHECK] = now() - start;
    fc_check_result_free(result);
}

static void
run_calls(const struct bench_case *c, struct times *times)
{
    const double start = now();
    fc_site *site = build(c);
    const double built = now();

    if (fc_site_finish(site, NULL) != FC_OK)
        fail("the site cannot be finished");
    times->of[MAKE] = built - start;
    times->of[FINISH] = now() - built;
    check(site, times);
    fc_site_free(site);
}

/* ---- By file ---------------------------------------------------------- */

static char *
write_text(const struct bench_case *c, size_t *length)
{
    char *text = NULL;
    FILE *out = open_memstream(&text, length);
    size_t i;

    if (!out)
        fail("out of memory");
    fprintf(out, "[site]\nmaterial = copper L\ncondition = new\n"
                 "[source e0]\nkind = fixed\npressure = 80 psi\n");
    for (i = 1; i < c->elements; i++) {
        fprintf(out,
                "[pipe e%zu]\nfrom = e%zu\nlength = 12 ft\n"
                "rise = 0.001 ft\n",
                i, parent_of(c, i));
        if (c->content == SOUND)
            fprintf(out, "c = 140\ninside diameter = 100 in\n"
                         "fittings = none\n");
        else
            fprintf(out, "size = 2 in\nfittings = 1 tee run\n%s",
                    c->content == SIX_KEYS ? "condition = new\n" : "");
        if (has_fixture(c, i))
            fprintf(out,
                    "[fixture f%zu]\non = e%zu\n"
                    "kind = water closet, flush valve\ncount = 2\n"
                    "supply size = 1 in\n"
                    "retrofit = siphonic closet 1.28 gal\n",
                    i, i);
    }
    if (fclose(out) != 0)
        fail("out of memory");
    return text;
}

static void
run_file(const struct bench_case *c, struct times *times)
{
    size_t length;
    char *text = write_text(c, &length);
    const double start = now();
    fc_site *site = NULL;

    if (fc_site_read_text(text, length, "bench.ini", &site, NULL) != FC_OK)
        fail("the file cannot be read");
    times->of[FINISH] = now() - start;
    free(text);
    check(site, times);
    fc_site_free(site);
}

/* ---- Runs ------------------------------------------------------------- */

typedef void run(const struct bench_case *c, struct times *times);

static int
compare(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Keep freed memory for the next run. */
static void
keep_memory(void)
{
#ifdef __GLIBC__
    mallopt(M_MMAP_THRESHOLD, 1 << 30);
    mallopt(M_TRIM_THRESHOLD, -1);
#endif
}

static double
sum_of(const struct times *times)
{
    return times->of[MAKE] + times->of[FINISH] + times->of[CHECK];
}

/* The medians of the steps, in a child. */
static void
run_often(run *once, const struct bench_case *c, int to)
{
    struct times times[RUNS] = { 0 }, medians = { 0 };
    struct rusage usage;
    double of[RUNS];
    int i, step;

    keep_memory();
    once(c, &medians);
    medians.first = sum_of(&medians);
    for (i = 0; i < RUNS; i++)
        once(c, &times[i]);
    for (step = 0; step < STEPS; step++) {
        for (i = 0; i < RUNS; i++)
            of[i] = times[i].of[step];
        qsort(of, RUNS, sizeof *of, compare);
        medians.of[step] = of[RUNS / 2];
    }
    if (getrusage(RUSAGE_SELF, &usage) != 0)
        fail("no resource usage");
    medians.memory = usage.ru_maxrss; /* kB on Linux */
    if (write(to, &medians, sizeof medians) != (ssize_t)sizeof medians)
        fail("no pipe");
    exit(EXIT_SUCCESS);
}

/* A process for each case, so that its peak of memory is its own. */
static struct times
measure(run *once, const struct bench_case *c)
{
    struct times times;
    int ends[2], status;
    pid_t child;

    fflush(stdout);
    if (pipe(ends) != 0)
        fail("no pipe");
    child = fork();
    if (child < 0)
        fail("no process");
    if (child == 0)
        run_often(once, c, ends[1]);
    close(ends[1]);
    if (read(ends[0], &times, sizeof times) != (ssize_t)sizeof times)
        fail("a case did not end");
    close(ends[0]);
    if (waitpid(child, &status, 0) != child || status != 0)
        fail("a case failed");
    return times;
}

/* Time per element against that of the row above. */
static void
print_row(const struct bench_case *c, const struct times *times, run *once,
          double *per_element)
{
    static const char *const contents[] = { "sound", "short", "six keys" };
    const double mine = sum_of(times) / (double)c->elements;

    printf("%-9s %-8s %8zu", shape_names[c->shape], contents[c->content],
           c->elements);
    if (once == run_calls)
        printf(" %8.2f", times->of[MAKE] * 1e3);
    else
        printf("        -");
    printf(" %8.2f %8.2f %8.2f %8.2f %7.1f", times->of[FINISH] * 1e3,
           times->of[CHECK] * 1e3, sum_of(times) * 1e3, times->first * 1e3,
           (double)times->memory / 1024);
    if (*per_element > 0)
        printf(" %6.2f\n", mine / *per_element);
    else
        printf("\n");
    *per_element = mine;
}

/* Growing sizes of one sort; ends with 0. */
static void
print_rows(run *once, enum shape shape, enum content content,
           const size_t *sizes)
{
    struct bench_case c = { 0, shape, content };
    double per_element = 0;
    struct times times;

    while ((c.elements = *sizes++)) {
        times = measure(once, &c);
        print_row(&c, &times, once, &per_element);
    }
}

int
main(void)
{
    static const size_t read[] = { 100, 1000, 10000, 200000, 0 };
    static const size_t keys[] = { 2000, 20000, 0 };
    static const size_t called[] = { 100, 1000, 10000, 100000, 0 };

    printf("Medians of %d runs in ms, peak memory in MiB, time per element "
           "against the row above\n\n"
           "By file            elements    build     read    check      all "
           "   first  memory  ratio\n",
           RUNS);
    print_rows(run_file, TOWER, SOUND, read);
    print_rows(run_file, WIDE, SOUND, read);
    print_rows(run_file, WIDE, SIX_KEYS, keys);
    printf("\nBy calls           elements    build   finish    check      all "
           "   first  memory  ratio\n");
    print_rows(run_calls, TOWER, SOUND, called);
    print_rows(run_calls, WIDE, SOUND, called);
    print_rows(run_calls, TOWER, SHORT, called);
    print_rows(run_calls, WIDE, SHORT, called);
    return EXIT_SUCCESS;
}
