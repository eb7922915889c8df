/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/json_put.h -- reports for programs.
 *
 * The fci_json_put calls return 0, or -1 when out of memory; then, and only
 * then, what is put together is not to be used.  Results may be or-ed.
 */
#ifndef FCI_PAGE_JSON_H
#define FCI_PAGE_JSON_H

#include "page/document.h"

#include <jansson.h>

/* Each takes over `value`; NULL is out of memory. */
int fci_json_put(json_t *object, const char *key, json_t *value);
int fci_json_add(json_t *array, json_t *value);

/* NULL text becomes null. */
int fci_json_put_text(json_t *object, const char *key, const char *text);
int fci_json_put_count(json_t *object, const char *key, size_t n);
int fci_json_put_flag(json_t *object, const char *key, bool flag);
/* NAN becomes null. */
int fci_json_put_number(json_t *object, const char *key, double number);
/* A figure in SI, in the report's unit. */
int fci_json_put_figure(json_t *object, const char *key, fc_unit_system units,
                        fc_dimension dimension, double si);
/* The nominal figure; where the ends differ, also `key`_low and _high. */
int fci_json_put_range(json_t *object, const char *key, fc_unit_system units,
                       fc_dimension dimension, fc_range range);
/* `units`: which unit each dimension is told in. */
int fci_json_put_units(json_t *object, fc_unit_system units);
/* `findings` of one subject, or of all for NULL. */
int fci_json_put_findings(json_t *object, const fc_finding *findings, size_t n,
                          const char *subject);
int fci_json_put_texts(json_t *object, const char *key,
                       const char *const *texts, size_t n);
/* `overrides`: what the file sets otherwise than the code. */
int fci_json_put_overrides(json_t *object, const fc_override *overrides,
                           size_t n);
/* `contradictions`: of the readings of the site. */
int fci_json_put_contradictions(json_t *object, fc_unit_system units,
                                const fc_contradiction *list, size_t n);
/* `works_if`: the figure at which a verdict that cannot be told turns; null
 * where there is none. */
int fci_json_put_proviso(json_t *object, fc_unit_system units,
                         const fc_proviso *proviso);
int fci_json_put_cautions(json_t *object);
/* What a fixture is judged by, into its object. */
/* "too_high" and what it is that is. */
int fci_json_put_excess(json_t *object, fc_unit_system units,
                        fc_verdict too_high, const fc_excess *excess);
int fci_json_put_end(json_t *object, fc_unit_system units,
                     const fc_fixture_state *end);

#endif
