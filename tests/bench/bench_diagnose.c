/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_diagnose.c -- how long a diagnosis takes.
 *
 *     bench_diagnose TOWER
 *
 * The first tower of tests/bench/tower.sh with eight readings: once as one
 * blocked floor main would have them, and once as no single cause explains
 * them, so that pairs are tried.
 */
#include "flushcalc.h"
#include "bench/stopwatch.h"

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

static void
time_it(const char *path, char *text, bool two)
{
    const size_t n = read_file(path, text);
    fc_diagnosis *diagnosis = NULL;
    fc_site *site = NULL;
    double before;

    add_readings(text, n, two);
    if (fc_site_read_text(text, strlen(text), path, &site, NULL) != FC_OK)
        fail("the tower is not understood");
    before = now();
    if (fc_diagnose(site, NULL, &diagnosis, NULL) != FC_OK)
        fail("no diagnosis");
    printf("diagnosis, %zu readings, %s: %.2f s\n", diagnosis->n_readings,
           two ? "pairs tried" : "single causes", now() - before);
    fc_diagnosis_free(diagnosis);
    fc_site_free(site);
}

int
main(int argc, char **argv)
{
    char *text = malloc(ROOM);

    if (argc != 2 || !text)
        fail("a tower is expected");
    time_it(argv[1], text, false);
    time_it(argv[1], text, true);
    free(text);
    return 0;
}
