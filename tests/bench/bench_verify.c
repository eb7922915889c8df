/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_verify.c -- how long the verification of claims takes.
 *
 * usage: bench_verify SITE
 *
 * SITE is given twenty claims more, each of another condition in turn, of all
 * its flush valves.  Every claim is drawn 20,000 times.
 */
#include "flushcalc.h"
#include "bench/stopwatch.h"

#include <string.h>

#define CLAIMS 20
#define LONGEST 65536

static char text[LONGEST];

static size_t
read_text(const char *path)
{
    FILE *in = fopen(path, "r");
    size_t n;

    if (!in)
        fail("cannot open the site");
    n = fread(text, 1, sizeof text - 8192, in);
    fclose(in);
    return n;
}

static const char *
condition_of(int i)
{
    static const char *const conditions[] = { "alone", "peak", "3 of wc-3",
                                              "wc-3, wc-2" };

    return conditions[i % 4];
}

static fc_site *
site_with_claims(const char *path)
{
    size_t n = read_text(path);
    fc_site *site = NULL;
    int i;

    for (i = 0; i < CLAIMS; i++)
        n += (size_t)snprintf(text + n, sizeof text - n,
                              "\n[claim bench-%d]\nfixture = wc-%d\n"
                              "flowing = %d psi\nwhile = %s\nstate = %s\n",
                              i, 1 + i % 3, 30 + i % 10, condition_of(i),
                              i % 2 ? "existing" : "retrofit");
    if (fc_site_read_text(text, n, path, &site, NULL) != FC_OK)
        fail("the site is not understood");
    return site;
}

static void
time_claims(const fc_site *site, unsigned threads)
{
    const fc_verify_options options = { .threads = threads };
    fc_verify_result *result = NULL;
    const double start = now();

    if (fc_verify(site, &options, &result, NULL) != FC_OK)
        fail("the claims cannot be verified");
    printf(
        "verify: %zu claims, %zu draws of %zu inputs, %u thread%s: %.2f s\n",
        result->n_claims, result->draws, result->varied, threads,
        threads == 1 ? "" : "s", now() - start);
    fc_verify_result_free(result);
}

int
main(int argc, char **argv)
{
    fc_site *site;

    if (argc != 2)
        fail("one site file is expected");
    site = site_with_claims(argv[1]);
    time_claims(site, 1);
    time_claims(site, 2);
    fc_site_free(site);
    return EXIT_SUCCESS;
}
