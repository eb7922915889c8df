/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/path_report.h -- the report of `path`, in its two forms. */
#ifndef CLI_REPORT_PATH_REPORT_H
#define CLI_REPORT_PATH_REPORT_H

#include "page/json.h"
#include "page/text.h"

/* `darcy`: with the comparison by Darcy-Weisbach. */
void path_text(struct page *page, const fc_check_result *result,
               const fc_checked_fixture *fixture, const fc_path *path,
               bool darcy);
void path_json(struct page *page, const fc_check_result *result,
               const fc_checked_fixture *fixture, const fc_path *path);

/* "budget", of NULL null. */
int path_json_put_budget(json_t *root, fc_unit_system units,
                         const fc_path *path);

#endif
