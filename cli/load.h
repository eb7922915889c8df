/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/load.h -- sites read and checked. */
#ifndef CLI_LOAD_H
#define CLI_LOAD_H

#include "options.h"

struct loaded {
    const char *path;
    fc_site *site;
    fc_check_result *result;
};

/* Read and check n sites.  What is wrong with any of them is said; NULL when
 * something is, or when out of memory. */
struct loaded *load_sites(const struct options *options,
                          const char *const *paths, size_t n);
void loaded_free(struct loaded *sites, size_t n);

#endif
