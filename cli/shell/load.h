/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/load.h -- sites read and checked. */
#ifndef CLI_SHELL_LOAD_H
#define CLI_SHELL_LOAD_H

#include "shell/options.h"

struct loaded {
    const char *path;
    fc_site *site;
    fc_check_result *result; /* NULL where it was only read */
};

/* Read and check *n sites.  What is wrong with any of them is said; *n becomes
 * how many there are without it.  NULL when there is none, or when out of
 * memory. */
struct loaded *load_sites(const struct options *options,
                          const char *const *paths, size_t *n);
/* One that is only read, not checked. */
struct loaded *load_unchecked(const struct options *options,
                              const char *const *path);
/* Check one that was only read, the busy period or not; false, and said. */
bool load_check(const struct options *options, struct loaded *site,
                bool busy_period);
void loaded_free(struct loaded *sites, size_t n);

/* What is said where a state is asked for that the site has not. */
void complain_not_converted(const struct loaded *site);

#endif
