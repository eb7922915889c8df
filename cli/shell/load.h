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

/* Read and check a site.  NULL, and said. */
struct loaded *load_checked(const struct options *options,
                            const char *const *path);
/* One that is only read, not checked. */
struct loaded *load_unchecked(const struct options *options,
                              const char *const *path);
/* One that was only read, with the values of --sweep.  NULL, and said. */
fc_sweep_result *load_sweep(const struct options *options,
                            const struct loaded *site);
/* Read and check several, a line each.  What is wrong with any of them is
 * said, in their order.  NULL, and said: no line may be written. */
fc_checked_sites *load_lines(const struct options *options,
                             const char *const *paths, size_t n);
/* Read and check several, their cases, and each with what each --set gives,
 * likewise. */
fc_comparison *load_comparison(const struct options *options,
                               const char *const *paths, size_t n);
/* Whether the report is one screen, which asks less of a calculation. */
bool load_is_brief(const struct options *options);
/* Check one that was only read, the busy period or not; false, and said. */
bool load_check(const struct options *options, struct loaded *site,
                bool busy_period);
/* The way to a fixture of one that was only read, with what its report tells.
 * NULL, and said. */
fc_path *load_path(const struct options *options, const struct loaded *site,
                   const char *fixture, fc_state state);
void loaded_free(struct loaded *site);

/* What is said where a state is asked for that the site has not. */
void complain_not_converted(const struct loaded *site);

#endif
