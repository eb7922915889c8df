/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_diagnose.c -- how long a diagnosis takes.
 *
 *     bench_diagnose TOWER
 *
 * The first tower of tests/bench/tower.sh with eight readings: once as one
 * blocked floor main would have them, and once as no single cause explains
 * them; then both with every length, rise and C as a range of its own.
 */
#include "flushcalc.h"
#include "bench/stopwatch.h"

#include <stdlib.h>
#include <string.h>

#define ROOM (16 * 1024 * 1024)

/* psi: where, what flushes, and two sets of readings. */
static const struct {
    const char *at, *flushing;
    int one, two;
} readings[] = {
    { "service-1", NULL, 250, 250 },
    { "riser-1-20", NULL, 156, 156 },
    { "meter-1", "wc-1-40-10, wc-1-38-10", 248, 241 },
    { "riser-1-40", "wc-1-40-10", 60, 50 },
    { "floor-1-40-5", "wc-1-40-10", 42, 35 },
    { "wc-1-40-10", "wc-1-40-10", 39, 26 },
    { "wc-1-30-10", "wc-1-30-10", 95, 90 },
    { "wc-1-10-3", "wc-1-10-3", 185, 160 },
};

static size_t
read_file(const char *path, char *text)
{
    FILE *file = fopen(path, "r");
    size_t n;

    if (!file)
        fail("cannot read the tower");
    n = fread(text, 1, ROOM / 2, file);
    fclose(file);
    return n;
}

static void
add_readings(char *text, size_t n, bool two)
{
    size_t i;

    for (i = 0; i < sizeof readings / sizeof *readings; i++) {
        n += (size_t)snprintf(
            text + n, ROOM - n, "[reading r%zu]\nat = %s\npressure = %d psi\n",
            i, readings[i].at, two ? readings[i].two : readings[i].one);
        if (readings[i].flushing)
            n += (size_t)snprintf(text + n, ROOM - n, "flushing = %s\n",
                                  readings[i].flushing);
    }
}

/* Lengths and rises within a tenth, and a C for every pipe, as ranges. */
static size_t
widen(const char *from, char *to)
{
    size_t n = 0;

    while (*from) {
        const char *end = strchr(from, '\n');
        const int length = end ? (int)(end - from) : (int)strlen(from);
        char key[8];
        double feet;

        if (sscanf(from, "%7s = %lf ft", key, &feet) == 2
            && (strcmp(key, "length") == 0 || strcmp(key, "rise") == 0))
            n += (size_t)snprintf(to + n, ROOM - n, "%s = %g..%g ft\n", key,
                                  feet - 0.1 * (feet < 0 ? -feet : feet),
                                  feet + 0.1 * (feet < 0 ? -feet : feet));
        else
            n += (size_t)snprintf(to + n, ROOM - n, "%.*s\n", length, from);
        if (strncmp(from, "[pipe ", 6) == 0)
            n += (size_t)snprintf(to + n, ROOM - n, "c = 120..150\n");
        from += length + (end != NULL);
    }
    return n;
}

static void
time_it(const char *path, char *text, bool two, bool ranges)
{
    size_t n = read_file(path, text);
    char *wide = malloc(ROOM);
    fc_diagnosis *diagnosis = NULL;
    fc_site *site = NULL;
    double before;

    if (!wide)
        fail("no memory");
    text[n] = '\0';
    if (ranges) {
        n = widen(text, wide);
        memcpy(text, wide, n + 1);
    }
    free(wide);
    add_readings(text, n, two);
    if (fc_site_read_text(text, strlen(text), path, &site, NULL) != FC_OK)
        fail("the tower is not understood");
    before = now();
    if (fc_diagnose(site, NULL, &diagnosis, NULL) != FC_OK)
        fail("no diagnosis");
    printf("diagnosis, %zu readings, %s, %s: %.2f s\n", diagnosis->n_readings,
           two ? "two faults" : "one fault", ranges ? "ranges" : "exact",
           now() - before);
    fc_diagnosis_free(diagnosis);
    fc_site_free(site);
}

int
main(int argc, char **argv)
{
    char *text = malloc(ROOM);

    if (argc != 2 || !text)
        fail("a tower is expected");
    time_it(argv[1], text, false, false);
    time_it(argv[1], text, true, false);
    time_it(argv[1], text, false, true);
    time_it(argv[1], text, true, true);
    free(text);
    return 0;
}
