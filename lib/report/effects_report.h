/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_report.h -- the parts of the report of `effects`, area by
 * area. */
#ifndef FCI_REPORT_EFFECTS_REPORT_H
#define FCI_REPORT_EFFECTS_REPORT_H

#include "page/figure.h"
#include "report/report.h"
#include "report/shared.h"

struct fci_effects_view {
    const fc_site *site;
    const fc_effects *effects;
};

extern const struct fci_shape fci_effects_shape;
void fci_effects_compose(struct fci_doc *doc, const void *view);

/* What each area tells programs, and its tables in full; nothing where the
 * area is NULL. */
extern const struct fci_shape fci_water_use_shape, fci_batteries_shape;
void fci_effects_water_tables(struct fci_doc *doc, const fc_effects *effects);
void fci_effects_battery_tables(struct fci_doc *doc,
                                const fc_effects *effects);
extern const struct fci_shape fci_hygiene_shape;
void fci_effects_hygiene_tables(struct fci_doc *doc,
                                const fc_effects *effects);
extern const struct fci_shape fci_renewal_shape;
void fci_effects_renewal_tables(struct fci_doc *doc,
                                const fc_effects *effects);
extern const struct fci_shape fci_surges_shape;
void fci_effects_surge_tables(struct fci_doc *doc, const fc_effects *effects);
extern const struct fci_shape fci_tank_water_shape;
void fci_effects_tank_tables(struct fci_doc *doc, const fc_effects *effects);

#endif
