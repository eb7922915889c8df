/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_water.c -- water a year, fixture by fixture. */
#include "report/effects_report.h"
#include "report/shapes.h"

static const struct fci_member use_rows[] = {
    FCI_TEXT(fc_fixture_use, valve, "valve",
             "Its flush valve; null: it has none"),
    FCI_RANGE(fc_fixture_use, uses, "uses", FC_NUMBER,
              "Of one valve in a year; null: not known"),
    FCI_RANGE(fc_fixture_use, flushes, "flushes", FC_NUMBER,
              "Of one valve in a year, hygiene flushes among them"),
    FCI_RANGE(fc_fixture_use, hygiene, "hygiene_flushes", FC_NUMBER,
              "Of those"),
    FCI_RANGE(fc_fixture_use, volume, "water", FC_VOLUME,
              "Through one valve in a year"),
};
static FCI_SHAPE(use_shape, "fixture_use", fc_fixture_use, use_rows,
                 "A flush valve over a year");

static const struct fci_member fixture_rows[] = {
    FCI_TEXT(fc_used_fixture, name, "name", "Its name"),
    FCI_INTEGER(fc_used_fixture, count, "count", "How many there are"),
    FCI_OBJECT(fc_used_fixture, states[FC_EXISTING], "existing", &use_shape,
               "Existing"),
    FCI_OBJECT(fc_used_fixture, states[FC_RETROFIT], "retrofit", &use_shape,
               "After retrofit"),
};
static FCI_SHAPE(fixture_shape, "used_fixture", fc_used_fixture, fixture_rows,
                 "A fixture over a year");

static const struct fci_member water_rows[] = {
    FCI_LIST(fc_water_use, fixtures, n_fixtures, "fixtures", &fixture_shape,
             "Fixtures with a flush valve"),
    FCI_RANGE(fc_water_use, volume[FC_EXISTING], "existing", FC_VOLUME,
              "All of them in a year, existing"),
    FCI_RANGE(fc_water_use, volume[FC_RETROFIT], "retrofit", FC_VOLUME,
              "The same after retrofit"),
    FCI_RANGE(fc_water_use, saved, "saved", FC_VOLUME,
              "Existing less retrofit"),
};
FCI_SHAPE(fci_water_use_shape, "water_use", fc_water_use, water_rows,
          "Water of flush valves in a year");

void
fci_effects_water_tables(struct fci_doc *doc, const fc_effects *effects)
{
    (void)doc;
    (void)effects;
}
