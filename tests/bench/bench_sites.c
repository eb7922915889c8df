/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/bench_sites.c -- how long many sites take.
 *
 * bench_sites SITE...: all of them checked side by side, as `check` does, and
 * what that takes for each, with the most memory that the process held.
 */
#include "flushcalc.h"
#include "bench/stopwatch.h"

#include <sys/resource.h>

int
main(int argc, char **argv)
{
    const size_t n = (size_t)(argc - 1);
    fc_site_file *files = calloc(n + 1, sizeof *files);
    fc_checked_sites *sites = NULL;
    struct rusage usage;
    double start, wall, work;

    if (!files || n == 0)
        fail("no site");
    for (size_t i = 0; i < n; i++)
        files[i].path = argv[i + 1];
    start = now();
    if (fc_check_sites(files, n, NULL, &sites) != FC_OK)
        fail("the sites cannot be checked");
    wall = now() - start;
    if (getrusage(RUSAGE_SELF, &usage) != 0)
        fail("no resource usage");
    work = (double)usage.ru_utime.tv_sec
           + 1e-6 * (double)usage.ru_utime.tv_usec
           + (double)usage.ru_stime.tv_sec
           + 1e-6 * (double)usage.ru_stime.tv_usec;
    printf("%zu sites, %zu not calculated: %.2f s, %.2f s of processors, "
           "%.2f ms of them a site, %.1f MiB\n",
           n, sites->n_broken, wall, work, 1e3 * work / (double)n,
           (double)usage.ru_maxrss / 1024);
    fc_checked_sites_free(sites);
    free(files);
    return EXIT_SUCCESS;
}
