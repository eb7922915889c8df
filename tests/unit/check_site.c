/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_site.c -- a site built by calls: copies, refusals,
 * finishing.
 *
 * Figures of tables are those of tables/, with their sources there.
 */
#include "site/resolve.h"
#include "generators/sites.h"
#include "unit/add_part.h"

#include <math.h>
#include <unistd.h>

#define EX(x)                                                                 \
    {                                                                         \
        true, x, x, x                                                         \
    }
#define TO(a, b)                                                              \
    {                                                                         \
        true, ((a) + (b)) / 2, a, b                                           \
    }

/* A source, a pipe and a fixture that stand. */
#define MAIN                                                                  \
    {                                                                         \
        .name = "main", .kind = FC_FIXED, .pressure = EX(500e3)               \
    }
#define PIPE                                                                  \
    .name = "p", .from = "main", .length = EX(10), .c = EX(140),              \
    .inside_diameter = EX(0.05)

static const fc_source good_source = MAIN;
static const fc_pipe good_pipe = { PIPE };
static const fc_fixture good_fixture = { .name = "wc",
                                         .on = "p",
                                         .kind = "water closet, flush valve" };

static fc_site *
good_site(void)
{
    fc_site *site = fc_site_new();

    ck_assert_ptr_nonnull(site);
    ck_assert_int_eq(fc_site_add_source(site, &good_source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_pipe(site, &good_pipe, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(site, &good_fixture, NULL), FC_OK);
    return site;
}

static const struct fci_element *
element(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (strcmp(site->elements[i].name, name) == 0)
            return &site->elements[i];
    ck_abort_msg("no element %s", name);
    return NULL;
}

/* ---- Refused at once --------------------------------------------------- */

#define P(called) .name = called, .from = "main", .length = EX(10)
static const fc_point one_point[] = { { 0, 1 } };
static const fc_point falling[] = { { 0, 5 }, { 1, 4 } };
static const fc_point rising[] = { { 0, 4 }, { 1, 5 } };
static const fc_point backwards[] = { { 1, 4 }, { 1, 5 } };
static const fc_point negative[] = { { 0, 4 }, { 1, -5 } };
static const fc_fitting no_fitting[] = { { 2, "elbow 90" }, { 0, "tee" } };
static const fc_fitting unnamed_fitting[] = { { 1, NULL } };

#define LONG_NAME                                                             \
    "n123456789n123456789n123456789n123456789n123456789n123456789n123"

static const struct {
    enum fci_kind kind;
    const void *part;
    const char *said;
} refused[] = {
    { FCI_SOURCE, &(const fc_source){ .kind = FC_FIXED, .pressure = EX(1) },
      "[source] has no name; a name is expected, such as [source "
      "source-1]\n" },
    { FCI_PIPE, &(const fc_pipe){ P("a b") },
      "[pipe a b] has a name that cannot be used; letters, digits, \"-\", "
      "\"_\" and \".\" are expected\n" },
    { FCI_PIPE, &(const fc_pipe){ P(LONG_NAME "x") },
      "[pipe " LONG_NAME "x] has a name of 65 characters; at most 64 are "
      "expected\n" },
    { FCI_PIPE, &(const fc_pipe){ .name = "q", .length = EX(1) },
      "[pipe q] from is not given; a name is needed\n" },
    { FCI_PIPE, &(const fc_pipe){ .name = "q", .from = "main" },
      "[pipe q] length is not given; a length is needed\n" },
    { FCI_PIPE,
      &(const fc_pipe){ .name = "q", .from = "main", .length = EX(-1) },
      "[pipe q] length \"-1.00 m\" is negative; a length of 0 or more is "
      "expected\n" },
    { FCI_PIPE,
      &(const fc_pipe){ .name = "q", .from = "main", .length = EX(NAN) },
      "[pipe q] length is not a range of finite figures; low, nominal and "
      "high in that order are expected\n" },
    { FCI_PIPE,
      &(const fc_pipe){
          .name = "q", .from = "main", .length = { true, 5, 6, 7 } },
      "[pipe q] length is not a range of finite figures; low, nominal and "
      "high in that order are expected\n" },
    { FCI_PIPE, &(const fc_pipe){ P("q"), .c = EX(0) },
      "[pipe q] c \"0\" is not above 0; a number above 0 is expected\n" },
    { FCI_PIPE, &(const fc_pipe){ P("q"), .velocity_limit = TO(1, 2) },
      "[pipe q] velocity limit \"1.00 to 2.00 m/s\" is a range; a single "
      "figure "
      "is expected\n" },
    { FCI_PIPE, &(const fc_pipe){ P("q"), .condition = (fc_condition)3 },
      "[pipe q] condition is not a value of its enum; one of its words is "
      "expected\n" },
    { FCI_PIPE,
      &(const fc_pipe){ P("q"), .fittings = no_fitting, .n_fittings = 2 },
      "[pipe q] fittings item 2 is not a fitting; a count from 1 to 1,000,000 "
      "and a "
      "name are expected\n" },
    { FCI_PIPE,
      &(const fc_pipe){ P("q"), .fittings = unnamed_fitting, .n_fittings = 1 },
      "[pipe q] fittings item 1 is not a fitting; a count from 1 to "
      "1,000,000 and a name are expected\n" },
    { FCI_SITE, &(const fc_settings){ .water_temperature = EX(101) },
      "[site] water temperature is not that of liquid water; 32 to 212 degF "
      "(0 to 100 degC) is expected\n" },
    { FCI_SITE, &(const fc_settings){ .units = (fc_unit_system)2 },
      "[site] units is not a value of its enum; one of its words is "
      "expected\n" },
    { FCI_SOURCE, &(const fc_source){ .name = "s" },
      "[source s] kind is not given; one of its words is expected\n" },
    { FCI_SOURCE, &(const fc_source){ .name = "s", .kind = FC_STREET_MAIN },
      "[source s] lacks \"static\"; a street main needs its static "
      "pressure\n" },
    { FCI_SOURCE,
      &(const fc_source){ .name = "s",
                          .kind = FC_STREET_MAIN,
                          .static_pressure = EX(5e5),
                          .residual = EX(4e5) },
      "[source s] residual is given alone; a flow test needs residual and "
      "residual flow\n" },
    { FCI_SOURCE,
      &(const fc_source){ .name = "s",
                          .kind = FC_STREET_MAIN,
                          .static_pressure = EX(5e5),
                          .residual = EX(6e5),
                          .residual_flow = EX(0.01) },
      "[source s] residual is above the static pressure; it is expected to "
      "be at most that, or \"test static\" to tell the static pressure on the "
      "day of the test\n" },
    { FCI_SOURCE, &(const fc_source){ .name = "s", .kind = FC_TANK },
      "[source s] lacks \"water level\"; a tank needs the elevation of its "
      "surface\n" },
    { FCI_SOURCE,
      &(const fc_source){ .name = "s",
                          .kind = FC_TANK,
                          .water_level = EX(3),
                          .elevation = EX(4) },
      "[source s] water level is below the outlet's elevation; a surface "
      "above the outlet is expected\n" },
    { FCI_SOURCE, &(const fc_source){ .name = "s", .kind = FC_FIXED },
      "[source s] lacks \"pressure\"; a fixed source needs its pressure\n" },
    { FCI_SOURCE,
      &(const fc_source){ .name = "s",
                          .kind = FC_FIXED,
                          .pressure = EX(1e5),
                          .water_level = EX(3) },
      "[source s] water level does not belong to this kind of source; it "
      "belongs to a tank\n" },
    { FCI_SOURCE,
      &(const fc_source){ .name = "s",
                          .kind = FC_TANK,
                          .water_level = EX(3),
                          .static_pressure = EX(3),
                          .pressure = EX(1e5) },
      "[source s] static does not belong to this kind of source; it belongs "
      "to a street main\n"
      "[source s] pressure does not belong to this kind of source; it "
      "belongs to a fixed source\n" },
    { FCI_METER,
      &(const fc_device){ .name = "m", .from = "main", .kind = FC_METER },
      "[meter m] lacks its loss; \"loss\", or \"kind\" and \"size\", is "
      "needed\n" },
    { FCI_METER,
      &(const fc_device){ .name = "m",
                          .from = "main",
                          .kind = FC_METER,
                          .meter_kind = "displacement" },
      "[meter m] kind is given alone; it needs the size, such as 2 in\n" },
    { FCI_METER,
      &(const fc_device){
          .name = "m",
          .from = "main",
          .kind = FC_METER,
          .meter_kind = "displacement",
          .size = EX(INCH),
          .loss = { .kind = FC_CONSTANT_LOSS, .pressure = EX(1) } },
      "[meter m] kind is given with the loss; one of them is expected\n" },
    { FCI_DEVICE,
      &(const fc_device){ .name = "d", .from = "main", .kind = FC_DEVICE },
      "[device d] lacks \"loss\"; a loss is needed, such as 6 psi at 40 "
      "gpm\n" },
    { FCI_BACKFLOW,
      &(const fc_device){ .name = "d",
                          .from = "main",
                          .kind = FC_BACKFLOW,
                          .loss = { .kind = FC_CONSTANT_LOSS } },
      "[backflow d] loss has no pressure; a pressure is expected\n" },
    { FCI_DEVICE,
      &(const fc_device){
          .name = "d",
          .from = "main",
          .kind = FC_DEVICE,
          .loss = { .kind = FC_SQUARE_LOSS, .pressure = EX(1) } },
      "[device d] loss is only half given; a pressure at a flow is "
      "expected\n" },
    { FCI_DEVICE,
      &(const fc_device){ .name = "d",
                          .from = "main",
                          .kind = FC_DEVICE,
                          .loss = { .kind = FC_CURVE_LOSS,
                                    .points = one_point,
                                    .n_points = 1 } },
      "[device d] loss has a single point; two points or more are "
      "expected\n" },
    { FCI_REDUCER,
      &(const fc_reducer){ .name = "r",
                           .from = "main",
                           .set = EX(4e5),
                           .loss = { .kind = FC_CURVE_LOSS,
                                     .points = falling,
                                     .n_points = 2 } },
      "[prv r] loss falls at point 2; a loss that never falls as the flow "
      "grows is expected\n" },
    { FCI_DEVICE,
      &(const fc_device){ .name = "d",
                          .from = "main",
                          .kind = FC_DEVICE,
                          .loss = { .kind = (fc_loss_kind)9 } },
      "[device d] loss is not a known kind; an fc_loss_kind is expected\n" },
    { FCI_REDUCER, &(const fc_reducer){ .name = "r", .from = "main" },
      "[prv r] set is not given; a pressure is needed\n" },
    { FCI_REDUCER,
      &(const fc_reducer){
          .name = "r", .from = "main", .set = EX(1e5), .fall_off = EX(1) },
      "[prv r] fall-off is only half given; a pressure at a flow is "
      "expected\n" },
    { FCI_PUMP,
      &(const fc_pump){
          .name = "u", .from = "main", .curve = rising, .n_curve = 2 },
      "[pump u] curve rises at point 2; a head that never rises as the flow "
      "grows is expected\n" },
    { FCI_PUMP,
      &(const fc_pump){
          .name = "u", .from = "main", .curve = backwards, .n_curve = 2 },
      "[pump u] curve point 2 is not at a higher flow than the one before; "
      "points in ascending order of flow are expected\n" },
    { FCI_PUMP,
      &(const fc_pump){
          .name = "u", .from = "main", .curve = negative, .n_curve = 2 },
      "[pump u] curve has a figure below 0 at point 2; figures of 0 or more "
      "are expected\n" },
    { FCI_FIXTURE, &(const fc_fixture){ .name = "x", .on = "p" },
      "[fixture x] kind is not given; a name is needed\n" },
    { FCI_FIXTURE,
      &(const fc_fixture){
          .name = "x", .on = "p", .kind = "lavatory", .count = -1 },
      "[fixture x] count is negative; 1 or more is expected\n" },
    { FCI_VALVE,
      &(const fc_valve){
          .name = "v", .minimum_flowing = EX(3e5), .maximum_static = EX(2e5) },
      "[valve v] minimum flowing is above the maximum static; it is expected "
      "to be below it\n" },
    { FCI_VALVE, &(const fc_valve){ .name = "v", .reduced_flush = EX(0.004) },
      "[valve v] reduced flush is given alone; the full flush is needed with "
      "it\n" },
    { FCI_VALVE,
      &(const fc_valve){
          .name = "v", .reduced_flush = EX(0.006), .full_flush = EX(0.005) },
      "[valve v] reduced flush is above the full flush; a smaller volume is "
      "expected\n" },
    { FCI_VALVE, &(const fc_valve){ .name = "v", .reduced_share = EX(0.5) },
      "[valve v] reduced share is given alone; it needs a reduced flush\n" },
    { FCI_VALVE, &(const fc_valve){ .name = "v", .regulated = FC_YES },
      "[valve v] regulated is given alone; it needs the flow, such as 25 gpm "
      "at 25 psi\n" },
    { FCI_VALVE, &(const fc_valve){ .name = "v", .flow = EX(0.001) },
      "[valve v] flow is only half given; a flow at a pressure is "
      "expected\n" },
    { FCI_DEMAND, &(const fc_demand){ .name = "t", .on = "p" },
      "[demand t] flow is not given; a flow is needed\n" },
    { FCI_HEATER, &(const fc_heater){ .name = "h", .on = "p" },
      "[heater h] serves is empty; names of fixtures are expected\n" },
    { FCI_READING, &(const fc_reading){ .name = "g", .at = "p" },
      "[reading g] lacks \"pressure\"; a pressure, a flow or a dial is "
      "needed\n" },
    { FCI_READING,
      &(const fc_reading){ .name = "g", .at = "p", .pressure = EX(-102e3) },
      "[reading g] pressure \"-102 kPa\" is below a full vacuum; a gauge "
      "pressure of -14.7 psi (-101.3 kPa) or more is expected\n" },
    { FCI_READING,
      &(const fc_reading){
          .name = "g", .at = "p", .pressure = EX(0), .within = EX(300) },
      "[reading g] within \"0.3 kPa\" is finer than any gauge in a building; "
      "an accuracy of 0.05 psi (0.345 kPa) or more is expected\n" },
    { FCI_READING,
      &(const fc_reading){ .name = "g", .at = "p", .dial = FC_SEEN_OPEN },
      "[reading g] dial is not a value of its enum; one of its words is "
      "expected\n" },
    { FCI_LOOK, &(const fc_look){ .name = "l", .at = "p" },
      "[look l] lacks \"shows\"; that, or a rise, a length or a size, is "
      "needed\n" },
    { FCI_LOOK,
      &(const fc_look){ .name = "l", .at = "p", .shows = (fc_sight)99 },
      "[look l] shows is not a value of its enum; one of its words is "
      "expected\n" },
    { FCI_LOOK, &(const fc_look){ .name = "l", .shows = FC_SEEN_OPEN },
      "[look l] at is not given; a name is needed\n" },
    { FCI_LOOK, &(const fc_look){ .name = "l", .at = "p", .length = EX(-1) },
      "[look l] length \"-1.00 m\" is not above 0; a length above 0 is "
      "expected\n" },
    { FCI_FIXTURE,
      &(const fc_fixture){
          .name = "x", .on = "p", .kind = "lavatory", .rate = EX(1e-4) },
      "[fixture x] rate is only half given; a flow at a pressure is "
      "expected\n" },
    { FCI_CLAIM, &(const fc_claim){ .name = "c", .fixture = "wc" },
      "[claim c] flowing is not given; a pressure is needed\n" },
    { FCI_GAUGE,
      &(const fc_gauge){ .name = "g", .within = { true, true, 0.03 } },
      "[gauge g] within is a percentage of nothing; \"full scale\" beside it "
      "is needed, such as 160 psi\n" },
    { FCI_GAUGE,
      &(const fc_gauge){ .name = "g", .within = { true, false, 300 } },
      "[gauge g] within is finer than any gauge in a building; an accuracy of "
      "0.05 psi (0.345 kPa) or more is expected\n" },
    { FCI_TOLERANCE, &(const fc_tolerance){ .length = { true, true, 1.0 } },
      "[tolerance] length cannot be a deviation; 0 or more, and under 100%, "
      "is expected\n" },
    { FCI_TOLERANCE, &(const fc_tolerance){ .pressure = { true, false, -1 } },
      "[tolerance] pressure cannot be a deviation; 0 or more, and under 100%, "
      "is expected\n" },
    { FCI_PIPE, &(const fc_pipe){ P("MAIN") },
      "[pipe MAIN] has a name that [source main] has taken; each name is "
      "expected once\n" },
    { FCI_FIXTURE,
      &(const fc_fixture){ .name = "P", .on = "p", .kind = "lavatory" },
      "[fixture P] has a name that [pipe p] has taken; each name is expected "
      "once\n" },
};

/* Refused, said, and the site cannot be finished whatever the host does. */
START_TEST(refusal)
{
    fc_site *site = good_site();
    fc_diagnostics *messages = fc_diagnostics_new();

    ck_assert_int_eq(
        add_part(site, refused[_i].kind, refused[_i].part, messages),
        FC_EINPUT);
    ck_assert_str_eq(all_messages(messages), refused[_i].said);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_EINPUT);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

START_TEST(broken_says_so)
{
    fc_site *site = good_site();
    fc_diagnostics *messages = fc_diagnostics_new();
    const fc_valve bad = { .name = "v", .regulated = FC_YES };

    ck_assert_int_eq(fc_site_add_valve(site, &bad, NULL), FC_EINPUT);
    ck_assert_int_eq(fc_site_finish(site, messages), FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "a part of the site was refused when it was added; a "
                     "site without refused parts is needed\n");
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_EINPUT); /* still */
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

START_TEST(longest_name)
{
    fc_site *site = good_site();
    const fc_valve valve = { .name = LONG_NAME };

    ck_assert_uint_eq(strlen(LONG_NAME), 64);
    ck_assert_int_eq(fc_site_add_valve(site, &valve, NULL), FC_OK);
    fc_site_free(site);
}
END_TEST

/* ---- Refused when tied together ---------------------------------------- */

static const char *const no_names[] = { "lav", "wc" };
static const char *const closets[] = { "wc" };
static const fc_fitting elbows[] = { { 2, "elbow 90" } };
static const fc_fitting strange[] = { { 2, "elbow 91" } };
static const fc_flushing many[] = { { 3, "wc" } };
static const fc_flushing again[] = { { 0, "wc" }, { 1, "WC" } };

#define L(called) P(called), .material = "copper L"

static const struct {
    enum fci_kind kind;
    const void *part;
    const char *said;
} untied[] = {
    { FCI_PIPE,
      &(const fc_pipe){ .name = "q",
                        .from = "mian",
                        .length = EX(1),
                        .c = EX(100),
                        .inside_diameter = EX(1) },
      "[pipe q] from \"mian\" is not in this file; a pipe or other element is "
      "expected; did you mean \"main\"?\n" },
    { FCI_PIPE,
      &(const fc_pipe){ .name = "q",
                        .from = "wc",
                        .length = EX(1),
                        .c = EX(100),
                        .inside_diameter = EX(1) },
      "[pipe q] from \"wc\" is a fixture; a pipe or other element is "
      "expected\n" },
    { FCI_PIPE,
      &(const fc_pipe){ .name = "q",
                        .from = "Q",
                        .length = EX(1),
                        .c = EX(100),
                        .inside_diameter = EX(1) },
      "[pipe q] from \"Q\" leads back to itself in a ring; elements that "
      "branch out from a source are expected, and a pipe that closes a loop "
      "names its end by \"to\"\n" },
    { FCI_PIPE, &(const fc_pipe){ P("q") },
      "[pipe q] lacks \"material\"; a material is needed here or in [site], "
      "or both c and inside diameter\n"
      "[pipe q] lacks \"size\"; a nominal size is needed, such as 1-1/4 in or "
      "DN32, or an inside diameter\n" },
    { FCI_PIPE,
      &(const fc_pipe){ P("q"), .material = "coper L", .size = EX(INCH) },
      "[pipe q] material \"coper L\" is not in the pipe tables; did you "
      "mean \"copper L\"?\n" },
    { FCI_PIPE, &(const fc_pipe){ L("q"), .size = EX(1.75 * INCH) },
      "[pipe q] size 1-3/4 in is not a size of copper L; one of 3/8 in, 1/2 "
      "in, 5/8 in, 3/4 in, 1 in, 1-1/4 in, 1-1/2 in, 2 in, 2-1/2 in, 3 in, "
      "3-1/2 in, 4 in, 5 in, 6 in is expected\n" },
    { FCI_PIPE,
      &(const fc_pipe){ L("q"), .size = EX(INCH), .fittings = strange,
                        .n_fittings = 1 },
      "[pipe q] fittings \"elbow 91\" is not in the table of soldered copper "
      "fittings; its equivalent length is expected as part of the length, or "
      "a [device] with its loss, or one of: elbow 90, elbow 45, tee branch, "
      "tee run, coupling, ball valve, gate valve, butterfly valve, check "
      "valve\n" },
    { FCI_PIPE,
      &(const fc_pipe){ L("q"), .inside_diameter = EX(0.05),
                        .fittings = elbows, .n_fittings = 1 },
      "[pipe q] fittings cannot be looked up without a size; a size is "
      "needed, or their equivalent length as part of the length\n" },
    { FCI_METER,
      &(const fc_device){ .name = "m",
                          .from = "main",
                          .kind = FC_METER,
                          .meter_kind = "displacment",
                          .size = EX(INCH) },
      "[meter m] kind \"displacment\" is not in the meter tables; did you "
      "mean \"displacement\"?\n" },
    { FCI_METER,
      &(const fc_device){ .name = "m",
                          .from = "main",
                          .kind = FC_METER,
                          .meter_kind = "displacement",
                          .size = EX(6 * INCH) },
      "[meter m] size 6 in is not in the table of displacement meters; a size "
      "from 5/8 in to 2 in is expected\n" },
    { FCI_FIXTURE,
      &(const fc_fixture){ .name = "x", .on = "p", .kind = "lavatry" },
      "[fixture x] kind \"lavatry\" is not in the IPC fixture table; did you "
      "mean \"lavatory\"?\n" },
    { FCI_FIXTURE,
      &(const fc_fixture){ .name = "x",
                           .on = "p",
                           .kind = "lavatory",
                           .retrofit = "siphonic closet 1.6" },
      "[fixture x] retrofit \"siphonic closet 1.6\" is neither a [valve] of "
      "this file nor a generic class; a [valve] of that name is expected, or "
      "one of: siphonic closet 3.5 gal, siphonic closet 1.6 gal, siphonic "
      "closet 1.28 gal, siphonic closet dual 1.6/1.1 gal, blowout closet 3.5 "
      "gal, urinal 1.0 gal, urinal 0.5 gal, urinal 0.125 gal, sensor closet "
      "dual 1.6/1.1 gal, sensor closet 1.28 gal, sensor urinal 0.5 gal\n" },
    { FCI_HEATER,
      &(const fc_heater){
          .name = "h", .on = "p", .serves = no_names, .n_serves = 2 },
      "[heater h] serves \"lav\" is not in this file; a fixture is "
      "expected\n" },
    { FCI_HEATER,
      &(const fc_heater){
          .name = "h", .on = "p", .serves = closets, .n_serves = 1 },
      "[heater h] serves \"wc\", a \"water closet, flush valve\", which takes "
      "no hot water; fixtures that do are expected, such as a lavatory\n" },
    { FCI_DEMAND, &(const fc_demand){ .name = "t", .on = "pp", .flow = EX(0) },
      "[demand t] on \"pp\" is not in this file; a pipe or other element is "
      "expected; did you mean \"p\"?\n" },
    { FCI_CLAIM,
      &(const fc_claim){ .name = "c", .fixture = "p", .flowing = EX(1e5) },
      "[claim c] fixture \"p\" is a pipe; a fixture is expected\n" },
    { FCI_READING,
      &(const fc_reading){ .name = "g",
                           .at = "wc",
                           .pressure = EX(1),
                           .flushing = many,
                           .n_flushing = 1 },
      "[reading g] flushing \"3 of wc\" is more than the count of that "
      "fixture; " },
    { FCI_READING,
      &(const fc_reading){ .name = "g",
                           .at = "wc",
                           .pressure = EX(1),
                           .flushing = again,
                           .n_flushing = 2 },
      "[reading g] flushing names \"wc\" twice; each fixture once is "
      "expected\n" },
    { FCI_CLAIM,
      &(const fc_claim){ .name = "c",
                         .fixture = "wc",
                         .flowing = EX(1e5),
                         .condition = FC_WHILE_FLUSHING,
                         .flushing = again,
                         .n_flushing = 2 },
      "[claim c] while names \"wc\" twice; each fixture once is "
      "expected\n" },
    { FCI_LOOK,
      &(const fc_look){ .name = "l", .at = "wd", .shows = FC_SEEN_OPEN },
      "[look l] at \"wd\" is not in this file; a fixture, a pipe or other "
      "element is expected; did you mean \"wc\"?\n" },
    { FCI_LOOK,
      &(const fc_look){ .name = "l", .at = "p", .shows = FC_SEEN_TURNING },
      "[look l] shows \"turns\" is not seen at a pipe; \"at\" with a meter or "
      "pump is expected\n" },
    { FCI_READING,
      &(const fc_reading){ .name = "g", .at = "wc", .dial = FC_SEEN_STILL },
      "[reading g] dial \"still\" is not seen at a fixture; \"at\" with a "
      "meter is expected\n" },
};

START_TEST(tie)
{
    fc_site *site = good_site();
    fc_diagnostics *messages = fc_diagnostics_new();

    ck_assert_int_eq(
        add_part(site, untied[_i].kind, untied[_i].part, messages), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, messages), FC_EINPUT);
    ck_assert_msg(strncmp(all_messages(messages), untied[_i].said,
                          strlen(untied[_i].said))
                      == 0,
                  "%s\n%s", all_messages(messages), untied[_i].said);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* Three pipes in a ring are one mistake, and so is what hangs on them. */
START_TEST(ring)
{
    static const char *const from[] = { "c", "a", "b", "c" };
    static const char *const name[] = { "a", "b", "c", "d" };
    fc_site *site = good_site();
    fc_diagnostics *messages = fc_diagnostics_new();
    int i;

    for (i = 0; i < 4; i++) {
        fc_pipe pipe = good_pipe;

        pipe.name = name[i];
        pipe.from = from[i];
        ck_assert_int_eq(fc_site_add_pipe(site, &pipe, messages), FC_OK);
    }
    ck_assert_int_eq(fc_site_finish(site, messages), FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_ptr_nonnull(strstr(all_messages(messages), "in a ring"));
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

START_TEST(nothing_there)
{
    fc_site *site = fc_site_new();
    fc_diagnostics *messages = fc_diagnostics_new();

    ck_assert_int_eq(fc_site_finish(site, messages), FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "the site has no source; a [source] is needed, such as a "
                     "street main\n"
                     "the site has no fixture; a [fixture] is needed to be "
                     "judged\n");
    fc_diagnostics_free(messages);
    fc_site_free(site);
    fc_site_free(NULL);
}
END_TEST

/* ---- Gauges ------------------------------------------------------------ */

/* What a reading says of its gauge, and what the gauge says of itself; by
 * hand from what flushcalc-site(5) says of both. */
START_TEST(accuracy)
{
    static const struct {
        const char *gauge, *reading;
        double within; /* psi */
    } rows[] = {
        { "within = 3 psi", "gauge = g", 3 },
        { "within = 3 psi\nfull scale = 160 psi", "gauge = G", 3 },
        { "within = 2 %\nfull scale = 160 psi", "gauge = g", 3.2 },
        { "full scale = 160 psi", "gauge = g", 4.8 }, /* 3 % of it */
        { "number = 4711", "gauge = g", 2 },
        { "within = 3 psi", "gauge = g\nwithin = 1 psi", 1 },
        { "within = 3 psi", "within = 1 psi", 1 },
        { "within = 3 psi", "", 2 }, /* of another gauge */
    };
    const struct fci_part *read;
    char text[600];
    fc_site *site;

    snprintf(text, sizeof text,
             "[source main]\nkind = fixed\npressure = 60 psi\n"
             "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper "
             "L\nsize = 2 in\n"
             "length = 40 ft\n"
             "[fixture wc]\non = p\nkind = water closet, flush valve\n"
             "[gauge g]\n%s\n[reading r]\nat = p\npressure = 50 psi\n%s\n",
             rows[_i].gauge, rows[_i].reading);
    site = site_of(text);
    read = fci_site_find(site, FCI_READING, "r");
    ck_assert_double_eq_tol(fci_reading_within(site, read->data) / PSI,
                            rows[_i].within, 1e-9);
    fc_site_free(site);
}
END_TEST

/* ---- What is seen and what is open ------------------------------------- */

#define SEEN_SITE                                                             \
    "[source main]\nkind = fixed\npressure = 60 psi\n"                        \
    "[meter m]\nfrom = main\nloss = 2 psi at 40 gpm\ngauge = yes\n"           \
    "[pipe p]\nfittings = none\nfrom = m\nmaterial = copper L\n"              \
    "size = 2 in\nlength = 40 ft\ngauge = no\n"                               \
    "[fixture wc]\non = p\nkind = water closet, flush valve\n"                \
    "[fixture bibb]\non = p\nkind = hose bibb\nfixture units = 3\n"           \
    "rate = 5..7 gpm at 40 psi\ngauge = yes\n"                                \
    "[fixture lav]\non = p\nkind = lavatory\n"                                \
    "[fixture clinic]\non = p\nkind = lavatory\nretrofit = urinal 0.5 gal\n"  \
    "rate = 1 gpm at 20 psi\n"

static const struct fci_fixture *
fixture(const fc_site *site, const char *name)
{
    size_t i = 0;

    ck_assert_int_eq(fci_find_fixture_named(site, name, &i, NULL), FC_OK);
    return &site->fixtures[i];
}

/* The rate of the file, else that of IPC 2018, Table 604.3: lavatory 0.8 gpm
 * at 8 psi; a flush valve has none of its own here. */
START_TEST(outlets)
{
    fc_site *site = site_of(SEEN_SITE);
    const struct fci_fixture *bibb = fixture(site, "bibb");
    const struct fci_fixture *lav = fixture(site, "lav");
    const fc_pipe *pipe = fci_site_find(site, FCI_PIPE, "p")->data;
    const fc_device *meter = fci_site_find(site, FCI_PIPE, "m")->data;

    ck_assert(bibb->outlet_rate_given && bibb->outlet_rate.given);
    ck_assert_double_eq_tol(bibb->outlet_rate.low / GPM, 5, 1e-9);
    ck_assert_double_eq_tol(bibb->outlet_rate.high / GPM, 7, 1e-9);
    ck_assert_double_eq_tol(bibb->outlet_pressure.nominal / PSI, 40, 1e-9);
    ck_assert(!lav->outlet_rate_given && lav->outlet_rate.given);
    ck_assert_double_eq_tol(lav->outlet_rate.nominal / GPM, 0.8, 1e-9);
    ck_assert_double_eq_tol(lav->outlet_pressure.nominal / PSI, 8, 1e-9);
    ck_assert(!fixture(site, "wc")->outlet_rate.given);
    ck_assert(fixture(site, "clinic")->outlet_rate_given);
    ck_assert_int_eq(pipe->gauge_fits, FC_NO);
    ck_assert_int_eq(meter->gauge_fits, FC_YES);
    ck_assert_int_eq(bibb->given->gauge_fits, FC_YES);
    ck_assert_int_eq(lav->given->gauge_fits, FC_NOT_SAID);
    fc_site_free(site);
}
END_TEST

/* What is open in a reading: its list by either key, the outlet that a
 * container was filled from, and nothing beside a flush valve. */
START_TEST(open_in_a_reading)
{
    static const struct {
        const char *reading, *open;
    } rows[] = {
        { "at = p\npressure = 40 psi\nopen = bibb, 1 of wc\n",
          "bibb:0 wc:1 " },
        { "at = p\npressure = 40 psi\nflushing = bibb\n", "bibb:0 " },
        { "at = p\npressure = 40 psi\nopen = none\n", "" },
        { "at = bibb\nfilled = 1 gal in 10 s\n", "bibb:1 " },
        { "at = BIBB\nfilled = 1 gal in 10 s\nopen = bibb, lav\n",
          "bibb:0 lav:0 " },
        { "at = bibb\nflow = 5 gpm\n", "" },
        { "at = wc\nfilled = 1 gal in 10 s\n", "" },
        { "at = p\nfilled = 1 gal in 10 s\n", "" },
        { "at = clinic\nfilled = 1 gal in 10 s\n", "clinic:1 " },
        { "at = clinic\nfilled = 1 gal in 10 s\nstate = retrofit\n", "" },
        { "at = m\ndial = still\n", "" },
    };
    char text[2000], open[100] = "";
    const fc_flushing *list;
    fc_flushing timed;
    fc_site *site;
    size_t i, n, used = 0;

    for (_i = 0; _i < (int)COUNT(rows); _i++) {
        snprintf(text, sizeof text, SEEN_SITE "[reading r]\n%s",
                 rows[_i].reading);
        site = site_of(text);
        list = fci_reading_flushing(
            fci_site_find(site, FCI_READING, "r")->data, &timed, &n);
        for (i = 0, used = 0, *open = '\0'; i < n; i++)
            used += (size_t)snprintf(
                open + used, sizeof open - used, "%s:%d ",
                fixture(site, list[i].fixture)->given->name, list[i].count);
        ck_assert_str_eq(open, rows[_i].open);
        fc_site_free(site);
    }
}
END_TEST

/* A dial alone is no figure: verify lists the others, check counts them. */
START_TEST(dial_is_no_figure)
{
    fc_site *site = site_of(SEEN_SITE "[reading dial]\nat = m\ndial = turns\n"
                                      "[reading g]\nat = p\n"
                                      "pressure = 55 psi\n"
                                      "[claim c]\nfixture = wc\n"
                                      "flowing = 30 psi\n");
    const fc_verify_options options = { .draws = 200 };
    fc_verify_result *verified = NULL;

    ck_assert_uint_eq(fci_count_readings(site), 1);
    ck_assert_int_eq(fc_verify(site, &options, &verified, NULL), FC_OK);
    ck_assert_uint_eq(verified->n_readings, 1);
    ck_assert_str_eq(verified->readings[0].name, "g");
    fc_verify_result_free(verified);
    fc_site_free(site);
}
END_TEST

/* 60 psi at the source less the 0.5 psi that the gauge of 70 psi is good to:
 * it reads more than there can be, whatever an outlet passes. */
START_TEST(outlets_in_words)
{
    fc_site *site =
        site_of(SEEN_SITE "[reading hose]\nat = p\npressure = 70 psi\n"
                          "within = 0.5 psi\nopen = bibb\n"
                          "[claim c]\nfixture = wc\nflowing = 30 psi\n");
    const fc_verify_options options = { .draws = 200 };
    fc_verify_result *verified = NULL;
    fc_check_result *checked = NULL;

    ck_assert_int_eq(fc_check(site, &checked, NULL), FC_OK);
    ck_assert_uint_eq(checked->n_contradictions, 1);
    ck_assert_ptr_nonnull(strstr(checked->contradictions[0].text,
                                 "a gauge at p read 70.0 psi with bibb open"));
    ck_assert_int_eq(fc_verify(site, &options, &verified, NULL), FC_OK);
    ck_assert_str_eq(verified->readings[0].event, "1 of bibb ran");
    fc_verify_result_free(verified);
    fc_check_result_free(checked);
    fc_site_free(site);
}
END_TEST

/* A look by a call is in the site as it was given, and in a copy of it. */
START_TEST(looked_at)
{
    fc_site *site = good_site(), *copy = NULL;
    char *at = malloc(3);
    fc_look look = { .name = "l",
                     .at = at,
                     .shows = FC_SEEN_SHUT,
                     .length = EX(9),
                     .size = EX(INCH) };
    const fc_look *kept;
    char *value = NULL;

    ck_assert_ptr_nonnull(at);
    strcpy(at, "P");
    ck_assert_int_eq(fc_site_add_look(site, &look, NULL), FC_OK);
    strcpy(at, "!");
    free(at);
    look = (fc_look){ .name = "again", .at = "p", .shows = FC_SEEN_SHUT };
    ck_assert_int_eq(fc_site_add_look(site, &look, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    kept = fci_site_find(site, FCI_LOOK, "L")->data;
    ck_assert_str_eq(kept->at, "P");
    ck_assert_int_eq(kept->shows, FC_SEEN_SHUT);
    ck_assert_double_eq(kept->length.nominal, 9);
    ck_assert(!kept->rise.given);
    ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
    ck_assert_int_eq(fc_site_change(copy, "look again", "shows", "open", NULL),
                     FC_OK);
    ck_assert_int_eq(fc_site_finish(copy, NULL), FC_EINPUT); /* and shut */
    ck_assert_int_eq(fc_site_value(site, "look l", "shows", &value, NULL),
                     FC_OK);
    ck_assert_str_eq(value, "shut");
    free(value);
    fc_site_free(copy);
    fc_site_free(site);
}
END_TEST

/* ---- Finishing --------------------------------------------------------- */

START_TEST(finished_once)
{
    fc_site *site = good_site();
    fc_diagnostics *messages = fc_diagnostics_new();
    int kind;

    ck_assert_int_eq(fc_site_finish(site, messages), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, messages), FC_ESTATE);
    ck_assert_str_eq(all_messages(messages),
                     "the site was finished before; it can be finished "
                     "once\n");
    for (kind = 0; kind < FCI_KINDS; kind++) {
        /* any part: it is not looked at */
        union {
            fc_pipe pipe;
            fc_claim claim;
            fc_fixture fixture;
            fc_valve valve;
            fc_settings settings;
            fc_device device;
            fc_reducer reducer;
            fc_source source;
        } none;

        memset(&none, 0, sizeof none);
        ck_assert_int_eq(add_part(site, (enum fci_kind)kind, &none, NULL),
                         FC_ESTATE);
    }
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* Names match whatever their case, and are printed as they were written; what
 * is added last may be what the first refers to. */
START_TEST(case_and_order)
{
    const struct {
        enum fci_kind kind;
        const void *part;
    } parts[] = {
        { FCI_FIXTURE, &(const fc_fixture){ .name = "WC-1",
                                            .on = "riser-B",
                                            .kind = "Water Closet, Flush "
                                                    "VALVE",
                                            .existing = "vaLve-1" } },
        { FCI_PIPE, &(const fc_pipe){ .name = "Riser-b",
                                      .from = "RISER-A",
                                      .length = EX(1),
                                      .size = EX(INCH),
                                      .material = "COPPER l" } },
        { FCI_PIPE, &(const fc_pipe){ .name = "riser-a",
                                      .from = "MAIN",
                                      .length = EX(1),
                                      .size = EX(INCH),
                                      .material = "copper L" } },
        { FCI_VALVE, &(const fc_valve){ .name = "Valve-1" } },
        { FCI_SOURCE, &good_source },
    };
    static const int orders[][5] = { { 0, 1, 2, 3, 4 },
                                     { 4, 3, 2, 1, 0 },
                                     { 2, 4, 0, 3, 1 } };
    double flowing[3];
    int i, k;

    for (k = 0; k < 3; k++) {
        fc_site *site = fc_site_new();
        fc_check_result *r = NULL;

        for (i = 0; i < COUNT(parts); i++)
            ck_assert_int_eq(add_part(site, parts[orders[k][i]].kind,
                                      parts[orders[k][i]].part, NULL),
                             FC_OK);
        ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
        ck_assert_int_eq(fc_check(site, &r, NULL), FC_OK);
        ck_assert_str_eq(r->fixtures[0].name, "WC-1");
        ck_assert_str_eq(r->fixtures[0].on, "Riser-b");
        ck_assert_str_eq(r->fixtures[0].kind, "water closet, flush valve");
        ck_assert_str_eq(r->fixtures[0].states[0].valve, "Valve-1");
        flowing[k] = r->fixtures[0].states[0].flowing.nominal;
        ck_assert_double_eq(flowing[k], flowing[0]);
        fc_check_result_free(r);
        fc_site_free(site);
    }
}
END_TEST

/* ---- Copies ------------------------------------------------------------ */

static char *
lent(const char *text)
{
    char *copy = malloc(strlen(text) + 1);

    ck_assert_ptr_nonnull(copy);
    return strcpy(copy, text);
}

static void
take_back(char *text)
{
    memset(text, '!', strlen(text));
    free(text);
}

/* Every string and array is written over and freed right after its call. */
START_TEST(all_is_copied)
{
    fc_site *site = fc_site_new();
    char *word[8];
    fc_point *points = malloc(2 * sizeof *points);
    fc_fitting *fittings = malloc(sizeof *fittings);
    const char **serves = malloc(sizeof *serves);
    fc_check_result *r = NULL;

    ck_assert(points && fittings && serves);
    word[0] = lent("A title");
    ck_assert_int_eq(
        fc_site_set(site, &(fc_settings){ .title = word[0] }, NULL), FC_OK);
    take_back(word[0]);
    word[0] = lent("main");
    ck_assert_int_eq(fc_site_add_source(site,
                                        &(fc_source){ .name = word[0],
                                                      .kind = FC_FIXED,
                                                      .pressure = EX(5e5) },
                                        NULL),
                     FC_OK);
    take_back(word[0]);
    word[0] = lent("p");
    word[1] = lent("main");
    word[2] = lent("copper L");
    word[3] = lent("elbow 90");
    fittings[0] = (fc_fitting){ 2, word[3] };
    ck_assert_int_eq(fc_site_add_pipe(site,
                                      &(fc_pipe){ .name = word[0],
                                                  .from = word[1],
                                                  .material = word[2],
                                                  .size = EX(INCH),
                                                  .length = EX(1),
                                                  .fittings = fittings,
                                                  .n_fittings = 1 },
                                      NULL),
                     FC_OK);
    memset(fittings, 0xff, sizeof *fittings);
    take_back(word[3]);
    take_back(word[2]);
    take_back(word[1]);
    take_back(word[0]);
    word[0] = lent("d");
    points[0] = (fc_point){ 0, 1000 };
    points[1] = (fc_point){ 1, 1000 };
    ck_assert_int_eq(
        fc_site_add_device(site,
                           &(fc_device){ .name = word[0],
                                         .from = "p",
                                         .kind = FC_DEVICE,
                                         .loss = { .kind = FC_CURVE_LOSS,
                                                   .points = points,
                                                   .n_points = 2 } },
                           NULL),
        FC_OK);
    take_back(word[0]);
    points[0] = (fc_point){ 0, 2 };
    points[1] = (fc_point){ 1, 2 };
    ck_assert_int_eq(fc_site_add_pump(site,
                                      &(fc_pump){ .name = "u",
                                                  .from = "d",
                                                  .curve = points,
                                                  .n_curve = 2 },
                                      NULL),
                     FC_OK);
    memset(points, 0xff, 2 * sizeof *points);
    free(points);
    word[0] = lent("x");
    word[1] = lent("u");
    word[2] = lent("lavatory");
    ck_assert_int_eq(
        fc_site_add_fixture(
            site,
            &(fc_fixture){ .name = word[0], .on = word[1], .kind = word[2] },
            NULL),
        FC_OK);
    take_back(word[2]);
    take_back(word[1]);
    take_back(word[0]);
    word[0] = lent("x");
    serves[0] = word[0];
    ck_assert_int_eq(fc_site_add_heater(site,
                                        &(fc_heater){ .name = "h",
                                                      .on = "p",
                                                      .serves = serves,
                                                      .n_serves = 1 },
                                        NULL),
                     FC_OK);
    take_back(word[0]);
    serves[0] = NULL;
    free(serves);
    free(fittings);

    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    ck_assert_str_eq(fc_site_title(site), "A title");
    ck_assert_int_eq(fc_check(site, &r, NULL), FC_OK);
    ck_assert_str_eq(r->pipes[0].name, "p");
    ck_assert_str_eq(r->pipes[0].from, "main");
    ck_assert_str_eq(r->pipes[0].material, "copper L");
    /* IPC Appendix E: 1 in elbow 90, 2.5 ft each */
    ck_assert_double_eq_tol(r->pipes[0].equivalent_length, 5 * FOOT, 1e-9);
    ck_assert_str_eq(r->fixtures[0].name, "x");
    ck_assert_str_eq(r->fixtures[0].on, "u");
    /* total units, as the heater hangs on the same pipe (IPC: 2.0) */
    ck_assert_double_eq_tol(r->pipes[0].states[0].fixture_units, 2, 1e-9);
    /* 500 kPa, no loss held back, 2 m of head on top */
    ck_assert_double_eq_tol(r->fixtures[0].static_pressure.nominal,
                            5e5 + 2 * site->water_weight, 1e-6);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- What stands for a pipe -------------------------------------------- */

/* ASTM B88, Table 1, type L: 3/4 in 0.875 less two walls of 0.045, 1 in 1.125
 * less two of 0.050, 1-1/4 in 1.375 less two of 0.055 in.  C 130 aged and 140
 * new: common handbook figures (see tables/). */
static const struct {
    const char *keys;
    double bore[3], c[3]; /* nominal, low, high; in */
} pipes[] = {
    { "size = 1 in\n", { 1.025, 1.025, 1.025 }, { 135, 130, 140 } },
    { "size = DN25\ncondition = new\n",
      { 1.025, 1.025, 1.025 },
      { 140, 140, 140 } },
    { "size = 1 in\ncondition = aged\n",
      { 1.025, 1.025, 1.025 },
      { 130, 130, 130 } },
    { "size = 1 in\ncondition = aged\nc = 100..120\n",
      { 1.025, 1.025, 1.025 },
      { 110, 100, 120 } },
    /* of a range of sizes the smaller is nominal */
    { "size = 3/4 in .. 1-1/4 in\ncondition = new\n",
      { 0.785, 0.785, 1.265 },
      { 140, 140, 140 } },
    { "size = 1 in\ninside diameter = 0.9 in\ncondition = new\n",
      { 0.9, 0.9, 0.9 },
      { 140, 140, 140 } },
};

START_TEST(one_pipe)
{
    char text[512];
    fc_site *site;
    const struct fci_pipe *p;

    snprintf(text, sizeof text,
             "[source main]\nkind = fixed\npressure = 60 psi\n"
             "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper "
             "L\nlength = 10 ft\n%s"
             "[fixture x]\non = p\nkind = lavatory\n",
             pipes[_i].keys);
    site = site_of(text);
    p = element(site, "p")->pipe;
    ck_assert_double_eq_tol(p->bore.nominal / INCH, pipes[_i].bore[0], 1e-9);
    ck_assert_double_eq_tol(p->bore.low / INCH, pipes[_i].bore[1], 1e-9);
    ck_assert_double_eq_tol(p->bore.high / INCH, pipes[_i].bore[2], 1e-9);
    ck_assert_double_eq_tol(p->c.nominal, pipes[_i].c[0], 1e-9);
    ck_assert_double_eq_tol(p->c.low, pipes[_i].c[1], 1e-9);
    ck_assert_double_eq_tol(p->c.high, pipes[_i].c[2], 1e-9);
    ck_assert_double_eq_tol(p->velocity_limit, 8 * FOOT, 1e-9);
    ck_assert(p->resistance[FCI_WORST] >= p->resistance[FCI_NOMINAL]);
    ck_assert(p->resistance[FCI_NOMINAL] >= p->resistance[FCI_BEST]);
    fc_site_free(site);
}
END_TEST

/* The pipe's own condition and material before the site's. */
START_TEST(defaults_of_site)
{
    fc_site *site = site_of(
        "[site]\nmaterial = copper L\ncondition = new\n"
        "velocity limit = 5 ft/s\n"
        "[source main]\nkind = fixed\npressure = 60 psi\n"
        "[pipe p]\nfittings = none\nfrom = main\nlength = 10 ft\nsize = 1 in\n"
        "[pipe q]\nfittings = none\nfrom = p\nlength = 10 ft\nsize = 1 in\n"
        "material = copper K\ncondition = aged\nvelocity limit = 4 ft/s\n"
        "[fixture x]\non = q\nkind = lavatory\n");
    const struct fci_pipe *p = element(site, "p")->pipe;
    const struct fci_pipe *q = element(site, "q")->pipe;

    ck_assert_double_eq_tol(p->bore.nominal / INCH, 1.025, 1e-9);
    ck_assert_double_eq_tol(p->c.nominal, 140, 1e-9);
    ck_assert_double_eq_tol(p->velocity_limit, 5 * FOOT, 1e-9);
    /* ASTM B88, Table 1, type K: 1.125 less two walls of 0.065 in */
    ck_assert_double_eq_tol(q->bore.nominal / INCH, 0.995, 1e-9);
    ck_assert_double_eq_tol(q->c.nominal, 130, 1e-9);
    ck_assert_double_eq_tol(q->velocity_limit, 4 * FOOT, 1e-9);
    fc_site_free(site);
}
END_TEST

/* AWWA M22, displacement, 1 in: 15 psi at 50 gpm, 12.75 at the least (see
 * tables/). */
START_TEST(meter_of_table)
{
    fc_site *site =
        site_of("[source main]\nkind = fixed\npressure = 60 psi\n"
                "[meter m]\nfrom = main\nkind = displacement\nsize = 1 in\n"
                "[fixture x]\non = m\nkind = lavatory\n");
    const fc_device *m = element(site, "m")->part->data;

    ck_assert_int_eq(m->loss.kind, FC_SQUARE_LOSS);
    ck_assert_double_eq_tol(m->loss.pressure.low, 12.75 * PSI, 1e-6);
    ck_assert_double_eq_tol(m->loss.pressure.high, 15 * PSI, 1e-6);
    ck_assert_double_eq_tol(m->loss.flow.nominal, 50 * GPM, 1e-12);
    fc_site_free(site);
}
END_TEST

/* ---- Tolerances -------------------------------------------------------- */

static void
assert_ends(fc_range r, double low, double high, double unit)
{
    ck_assert_double_eq_tol(r.low / unit, low, 1e-9 * (1 + fabs(low)));
    ck_assert_double_eq_tol(r.high / unit, high, 1e-9 * (1 + fabs(high)));
}

START_TEST(widened)
{
    fc_site *site = site_of(
        "[tolerance]\npressure = 2 psi\nlength = 10 %\nelevation = 1 ft\n"
        "c = 10 %\nflow test = 10 gpm\n"
        "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 60 psi\n"
        "residual = 50 psi\nresidual flow = 500 gpm\nelevation = 7 ft\n"
        "[pipe p]\nfittings = none\nfrom = main\nlength = 100 ft\nrise = -20 "
        "ft\nc = 100\n"
        "inside diameter = 2 in\n"
        "[pipe q]\nfittings = none\nfrom = p\nlength = 90..95 ft\nrise = 3..4 "
        "ft\n"
        "c = 90..95\ninside diameter = 2 in\n"
        "[pipe s]\nfittings = none\nfrom = q\nmaterial = copper L\ncondition "
        "= new\n"
        "size = 1 in\nlength = 0 ft\n"
        "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = s\nset "
        "= 3 psi\nrise = 2 ft\n"
        "[pump u]\nfrom = r\ncurve = 0 gpm 9 ft, 1 gpm 8 ft\nhold = 40 psi\n"
        "[device d]\nfrom = u\nloss = 3 psi\n"
        "[fixture x]\non = d\nkind = lavatory\nrise = 3 ft\n"
        "existing = v\n[valve v]\nminimum flowing = 15 psi\n");
    const fc_source *m = element(site, "main")->part->data;
    const fc_pipe *p = element(site, "p")->part->data;
    const fc_pipe *q = element(site, "q")->part->data;
    const fc_reducer *r = element(site, "r")->part->data;
    const fc_pump *u = element(site, "u")->part->data;
    const fc_device *d = element(site, "d")->part->data;

    assert_ends(m->static_pressure, 58, 62, PSI);
    assert_ends(m->residual, 48, 52, PSI);
    assert_ends(m->residual_flow, 490, 510, GPM);
    assert_ends(m->elevation, 7, 7, FOOT); /* what all heights count from */
    assert_ends(p->length, 90, 110, FOOT);
    assert_ends(p->rise, -21, -19, FOOT);
    assert_ends(p->c, 90, 110, 1);
    assert_ends(element(site, "p")->pipe->c, 90, 110, 1); /* once */
    assert_ends(p->inside_diameter, 2, 2, INCH);
    assert_ends(q->length, 90, 95, FOOT); /* a range the user gave stays */
    assert_ends(q->rise, 3, 4, FOOT);
    assert_ends(q->c, 90, 95, 1);
    assert_ends(element(site, "s")->pipe->c, 126, 154, 1); /* the table's */
    assert_ends(r->set, 1, 5, PSI);
    assert_ends(r->rise, 1, 3, FOOT);
    assert_ends(u->hold, 38, 42, PSI);
    assert_ends(d->loss.pressure, 3, 3, PSI);
    assert_ends(site->fixtures[0].given->rise, 2, 4, FOOT);
    assert_ends(site->fixtures[0].valve[0]->minimum_flowing, 15, 15, PSI);
    fc_site_free(site);
}
END_TEST

/* Down to 1 for C, to a hundredth for a tested flow; no amount takes a length
 * down to 0. */
START_TEST(clamped)
{
    fc_site *site = site_of(
        "[tolerance]\nlength = 4 ft\nc = 99.5 %\nflow test = 99.5 %\n"
        "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 60 psi\n"
        "residual = 50 psi\nresidual flow = 500 gpm\n"
        "[pipe p]\nfittings = none\nfrom = main\nlength = 5 ft\nc = 100\n"
        "inside diameter = 2 in\n"
        "[fixture x]\non = p\nkind = lavatory\n");
    const fc_source *m = element(site, "main")->part->data;
    const fc_pipe *p = element(site, "p")->part->data;

    assert_ends(m->residual_flow, 5, 997.5, GPM);
    assert_ends(p->length, 1, 9, FOOT);
    assert_ends(p->c, 1, 199.5, 1);
    fc_site_free(site);
}
END_TEST

START_TEST(widen_by_itself)
{
    const fc_deviation none = { false, false, 5 }, share = { true, true, 0.1 };
    fc_range r = fc_exactly(-10), not_given = { false, 0, 0, 0 };

    fci_widen(&r, &none, -1e9);
    assert_ends(r, -10, -10, 1);
    fci_widen(&r, &share, -1e9);
    assert_ends(r, -11, -9, 1);
    fci_widen(&not_given, &share, 5);
    ck_assert(!not_given.given);
    assert_ends(not_given, 0, 0, 1);
}
END_TEST

/* ---- Tables beside the file -------------------------------------------- */

static void
write_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");

    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}

#define AMENDED                                                               \
    "[site]\ntables = local.ini\n"                                            \
    "[source main]\nkind = fixed\npressure = 60 psi\n"                        \
    "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper L\nsize = 1 "  \
    "in\n"                                                                    \
    "length = 10 ft\ncondition = new\n"                                       \
    "[fixture x]\non = p\nkind = lavatory\n"

START_TEST(amended)
{
    char folder[] = "/tmp/check-site-XXXXXX";
    char path[64], tables[64];
    fc_site *site = NULL;
    fc_check_result *r = NULL;
    fc_diagnostics *messages = fc_diagnostics_new();
    bool said = false;
    size_t i;

    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/site.ini", folder);
    snprintf(tables, sizeof tables, "%s/local.ini", folder);
    write_file(path, AMENDED);
    /* it is not there yet */
    ck_assert_int_eq(fc_site_read(path, &site, messages), FC_EIO);
    ck_assert_ptr_null(site);
    ck_assert_ptr_nonnull(strstr(all_messages(messages), "local.ini"));
    write_file(tables, "[pipe copper L]\nsource = a local rule, 2001\n"
                       "c new = 133\n"
                       "[limit maximum static]\nsource = the same\n"
                       "pressure = 70 psi\n");
    ck_assert_int_eq(fc_site_read(path, &site, NULL), FC_OK);
    ck_assert_double_eq_tol(element(site, "p")->pipe->c.nominal, 133, 1e-9);
    ck_assert_double_eq_tol(element(site, "p")->pipe->bore.nominal / INCH,
                            1.025, 1e-9); /* the rest stays */
    ck_assert_double_eq_tol(site->settings.maximum_static.nominal / PSI, 70,
                            1e-9);
    ck_assert_int_eq(fc_check(site, &r, NULL), FC_OK);
    for (i = 0; i < r->n_assumptions; i++)
        said |= strstr(r->assumptions[i], "[pipe copper L]")
                && strstr(r->assumptions[i], "a local rule, 2001");
    ck_assert(said);
    fc_check_result_free(r);
    fc_site_free(site);
    fc_diagnostics_free(messages);
    ck_assert_int_eq(unlink(tables), 0);
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(rmdir(folder), 0);
}
END_TEST

/* ---- Units and title --------------------------------------------------- */

START_TEST(units)
{
    fc_site *site = good_site();

    fc_site_set_units(site, FC_SI);
    ck_assert_int_eq(
        fc_site_set(site, &(fc_settings){ .units = FC_US, .title = "T" },
                    NULL),
        FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    ck_assert_int_eq(fc_site_units(site), FC_SI); /* over the site's own */
    ck_assert_str_eq(fc_site_title(site), "T");
    fc_site_set_units(site, FC_US); /* and at any time */
    ck_assert_int_eq(fc_site_units(site), FC_US);
    fc_site_free(site);
    site = good_site();
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    ck_assert_ptr_null(fc_site_title(site));
    ck_assert_int_eq(fc_site_units(site), FC_US);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("site");
    TCase *t = tcase_create("refusals");

    tcase_add_loop_test(t, refusal, 0, COUNT(refused));
    tcase_add_test(t, broken_says_so);
    tcase_add_test(t, longest_name);
    tcase_add_loop_test(t, tie, 0, COUNT(untied));
    tcase_add_loop_test(t, accuracy, 0, 8);
    tcase_add_test(t, ring);
    tcase_add_test(t, nothing_there);
    suite_add_tcase(suite, t);
    t = tcase_create("building");
    tcase_add_test(t, finished_once);
    tcase_add_test(t, case_and_order);
    tcase_add_test(t, all_is_copied);
    tcase_add_test(t, units);
    suite_add_tcase(suite, t);
    t = tcase_create("resolved");
    tcase_add_loop_test(t, one_pipe, 0, COUNT(pipes));
    tcase_add_test(t, defaults_of_site);
    tcase_add_test(t, meter_of_table);
    tcase_add_test(t, widened);
    tcase_add_test(t, clamped);
    tcase_add_test(t, widen_by_itself);
    tcase_add_test(t, amended);
    tcase_add_test(t, outlets);
    tcase_add_test(t, open_in_a_reading);
    tcase_add_test(t, dial_is_no_figure);
    tcase_add_test(t, outlets_in_words);
    tcase_add_test(t, looked_at);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
