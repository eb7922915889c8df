/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_json.h -- the report of `check` for programs. */
#ifndef FCI_REPORT_CHECK_JSON_H
#define FCI_REPORT_CHECK_JSON_H

#include "report/json_put.h"

/* From the flush events, into the object of a fixture and of a state
 * (report/check_flush_json.c). */
int fci_check_json_put_flush(json_t *object, fc_unit_system u,
                             const fc_fixture_state *end);
int fci_check_json_put_least(json_t *object, const fc_check_result *result,
                             fc_state state);

#endif
