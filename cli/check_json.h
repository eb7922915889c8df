/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/check_json.h -- the report of `check` for programs. */
#ifndef CLI_CHECK_JSON_H
#define CLI_CHECK_JSON_H

#include "load.h"
#include "text.h"

/* One site, or several with the worst of their verdicts. */
void check_json(struct page *page, const struct loaded *sites, size_t n,
                fc_verdict worst);

#endif
