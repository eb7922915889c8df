/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/check_json.h -- the report of `check` for programs. */
#ifndef CLI_REPORT_CHECK_JSON_H
#define CLI_REPORT_CHECK_JSON_H

#include "page/json.h"
#include "shell/load.h"

/* One site with the way to its governing fixture (NULL: there is none), or
 * several with the worst of their verdicts. */
void check_json(struct page *page, const struct loaded *sites, size_t n,
                fc_verdict worst, const fc_path *path);

/* From the flush events, into the object of a fixture and of a state
 * (report/check_flush_json.c). */
int check_json_put_flush(json_t *object, fc_unit_system u,
                         const fc_fixture_state *end);
int check_json_put_least(json_t *object, const fc_check_result *result,
                         fc_state state);

#endif
