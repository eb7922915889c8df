/* SPDX-License-Identifier: GPL-3.0-or-later */
/* examples/embed.c -- a program of its own that asks the library.
 *
 * It builds by calls the invented clinic that examples/clinic.ini describes,
 * as a program would that has the building in a data base or a drawing, and
 * prints what the check says.  Build it, once the library is installed, with
 *
 *     cc embed.c $(pkg-config --cflags --libs flushcalc)
 *
 * Everything that goes in is in SI: a program that holds US figures turns them
 * with fc_parse(), which reads them as a site file writes them.
 */
#include "flushcalc.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FLOORS 6
#define NAME 32 /* bytes of a name such as "women-branch-6" */

/* What the calls below share.  The library keeps a refused part in mind:
 * fc_site_finish() fails after one, so that no call needs a check of its own
 * and the messages of all are printed together. */
struct clinic {
    fc_site *site;
    fc_diagnostics *messages;
};

/* A figure as people write it.  What cannot be read is said in the messages
 * and stays "not given", which the part that needs it then refuses. */
static fc_range
figure(const struct clinic *c, const char *text, fc_dimension dimension)
{
    fc_range value = { 0 };

    fc_parse(text, dimension, &value, c->messages);
    return value;
}

#define LENGTH(text) figure(c, text, FC_LENGTH)
#define PRESSURE(text) figure(c, text, FC_PRESSURE)
#define FLOW(text) figure(c, text, FC_FLOW)
#define SIZE(text) figure(c, text, FC_SIZE)
#define VOLUME(text) figure(c, text, FC_VOLUME)

/* "wc" and 3 become "wc-3".  The library copies every string and list that it
 * is given, so that a buffer may be used again after the call. */
static const char *
on_floor(char name[NAME], const char *what, int floor)
{
    snprintf(name, NAME, "%s-%d", what, floor);
    return name;
}

/* ---- The building ------------------------------------------------------ */

/* From the water company's flow test to the foot of the riser. */
static void
add_service(const struct clinic *c)
{
    const fc_fitting service[] = { { 2, "elbow 90" }, { 1, "gate valve" } };
    const fc_fitting header[] = { { 3, "elbow 90" }, { 1, "gate valve" } };
    /* flow and pressure of the backflow preventer's data sheet, in gpm, psi */
    const double sheet[][2] = {
        { 0, 7 }, { 40, 7.6 }, { 80, 8.3 }, { 120, 9.2 }, { 160, 10.4 }
    };
    const double gpm = FLOW("1 gpm").nominal, psi = PRESSURE("1 psi").nominal;
    fc_point curve[5];
    size_t i;

    for (i = 0; i < 5; i++)
        curve[i] = (fc_point){ sheet[i][0] * gpm, sheet[i][1] * psi };
    fc_site_add_source(c->site,
                       &(fc_source){ .name = "main",
                                     .kind = FC_STREET_MAIN,
                                     .static_pressure = PRESSURE("79 psi"),
                                     .residual = PRESSURE("72 psi"),
                                     .residual_flow = FLOW("450 gpm") },
                       c->messages);
    fc_site_add_pipe(c->site,
                     &(fc_pipe){ .name = "service",
                                 .from = "main",
                                 .size = SIZE("3 in"),
                                 .length = LENGTH("60 ft"),
                                 .rise = LENGTH("-4 ft"),
                                 .fittings = service,
                                 .n_fittings = 2 },
                     c->messages);
    fc_site_add_device(c->site,
                       &(fc_device){ .name = "meter",
                                     .from = "service",
                                     .kind = FC_METER,
                                     .loss = { .kind = FC_SQUARE_LOSS,
                                               .pressure = PRESSURE("3 psi"),
                                               .flow = FLOW("160 gpm") } },
                       c->messages);
    fc_site_add_device(c->site,
                       &(fc_device){ .name = "rp",
                                     .from = "meter",
                                     .kind = FC_BACKFLOW,
                                     .loss = { .kind = FC_CURVE_LOSS,
                                               .points = curve,
                                               .n_points = 5 } },
                       c->messages);
    fc_site_add_pipe(c->site,
                     &(fc_pipe){ .name = "header",
                                 .from = "rp",
                                 .size = SIZE("3 in"),
                                 .length = LENGTH("40 ft"),
                                 .fittings = header,
                                 .n_fittings = 2 },
                     c->messages);
}

static void
add_riser(const struct clinic *c, int floor)
{
    const fc_fitting fitting = { 1, floor == 1 ? "elbow 90" : "tee run" };
    char name[NAME], from[NAME];
    const fc_pipe pipe = {
        .name = on_floor(name, "riser", floor),
        .from = floor == 1 ? "header" : on_floor(from, "riser", floor - 1),
        .size = SIZE("3 in"),
        .length = LENGTH(floor == 1 ? "15 ft" : "11 ft"),
        .rise = LENGTH(floor == 1 ? "13 ft" : "11 ft"),
        .fittings = &fitting,
        .n_fittings = 1,
    };

    fc_site_add_pipe(c->site, &pipe, c->messages);
}

static void
add_branch(const struct clinic *c, const char *what, int floor,
           const char *length)
{
    const fc_fitting fittings[] = { { 1, "tee branch" },
                                    { 3, "elbow 90" },
                                    { 1, "gate valve" } };
    char name[NAME], from[NAME];
    const fc_pipe pipe = {
        .name = on_floor(name, what, floor),
        .from = on_floor(from, "riser", floor),
        .size = SIZE("2 in"),
        .length = LENGTH(length),
        .rise = LENGTH("-7 ft"),
        .fittings = fittings,
        .n_fittings = 3,
    };

    fc_site_add_pipe(c->site, &pipe, c->messages);
}

/* A group of fixtures; `fixture` holds what its kind has beside these. */
static void
add_group(const struct clinic *c, const char *what, const char *branch,
          int floor, fc_fixture fixture)
{
    char name[NAME], on[NAME];

    fixture.name = on_floor(name, what, floor);
    fixture.on = on_floor(on, branch, floor);
    fc_site_add_fixture(c->site, &fixture, c->messages);
}

static void
add_fixtures(const struct clinic *c, int floor)
{
    fc_fixture closet = { .kind = "water closet, flush valve",
                          .rise = LENGTH("6 in"),
                          .supply_size = SIZE("1 in"),
                          .existing = "siphonic closet 3.5 gal",
                          .retrofit = "closet-dual" };
    const fc_fixture urinal = { .kind = "urinal, flush valve",
                                .rise = LENGTH("1 ft 6 in"),
                                .supply_size = SIZE("3/4 in"),
                                .existing = "urinal 1.0 gal",
                                .retrofit = "urinal-half" };
    const fc_fixture lavatory = { .kind = "lavatory", .count = 2 };

    closet.count = 2;
    add_group(c, "men-wc", "men-branch", floor, closet);
    closet.count = 3;
    closet.bowl = VOLUME("1.6 gal");
    add_group(c, "women-wc", "women-branch", floor, closet);
    add_group(c, "urinal", "men-branch", floor, urinal);
    add_group(c, "women-lav", "women-branch", floor, lavatory);
    add_group(c, "men-lav", "men-branch", floor, lavatory);
}

/* The heater serves the shower and all lavatories. */
static void
add_hot_water(const struct clinic *c)
{
    char names[2 * FLOORS][NAME];
    const char *serves[2 * FLOORS + 1];
    size_t n = 0;
    int floor;

    fc_site_add_fixture(c->site,
                        &(fc_fixture){ .name = "shower",
                                       .on = "men-branch-1",
                                       .kind = "shower",
                                       .rise = LENGTH("4 ft 6 in") },
                        c->messages);
    for (floor = 1; floor <= FLOORS; floor++) {
        serves[n] = on_floor(names[n], "women-lav", floor);
        n++;
        serves[n] = on_floor(names[n], "men-lav", floor);
        n++;
    }
    serves[n++] = "shower";
    fc_site_add_heater(
        c->site,
        &(fc_heater){
            .name = "wh", .on = "header", .serves = serves, .n_serves = n },
        c->messages);
}

/* The sensor valves that are to come, from their data sheets. */
static void
add_valves(const struct clinic *c)
{
    fc_site_add_valve(c->site,
                      &(fc_valve){ .name = "closet-dual",
                                   .minimum_flowing = PRESSURE("40 psi"),
                                   .maximum_static = PRESSURE("100 psi"),
                                   .flow = FLOW("25 gpm"),
                                   .flow_pressure = PRESSURE("40 psi"),
                                   .full_flush = VOLUME("1.6 gal"),
                                   .reduced_flush = VOLUME("1.1 gal"),
                                   .closing_time = fc_exactly(1),
                                   .supply_size = SIZE("1 in") },
                      c->messages);
    fc_site_add_valve(c->site,
                      &(fc_valve){ .name = "urinal-half",
                                   .minimum_flowing = PRESSURE("25 psi"),
                                   .maximum_static = PRESSURE("100 psi"),
                                   .flow = FLOW("12 gpm"),
                                   .flow_pressure = PRESSURE("25 psi"),
                                   .full_flush = VOLUME("0.5 gal"),
                                   .closing_time = fc_exactly(1),
                                   .supply_size = SIZE("3/4 in") },
                      c->messages);
}

static fc_status
build(const struct clinic *c)
{
    int floor;

    fc_site_set(c->site,
                &(fc_settings){ .title = "Invented clinic",
                                .code = FC_IPC,
                                .material = "copper L",
                                .condition = FC_NEW },
                c->messages);
    add_service(c);
    for (floor = 1; floor <= FLOORS; floor++) {
        add_riser(c, floor);
        add_branch(c, "women-branch", floor, "32 ft");
        add_branch(c, "men-branch", floor, "24 ft");
        add_fixtures(c, floor);
    }
    add_hot_water(c);
    add_valves(c);
    return fc_site_finish(c->site, c->messages);
}

/* ---- What it says ------------------------------------------------------ */

static const char *const verdicts[] = { [FC_WORKS] = "WORKS",
                                        [FC_WILL_NOT_WORK] = "WILL NOT WORK",
                                        [FC_CANNOT_TELL] = "CANNOT TELL" };

static void
print_state(const char *when, const fc_fixture_state *state)
{
    printf(" %s %s", when, verdicts[state->works]);
    if (state->required.given) /* else there is nothing to have a margin on */
        printf(" %+.1f psi",
               fc_from_si(FC_US, FC_PRESSURE, state->margin.nominal));
}

static void
print_result(const fc_check_result *result)
{
    size_t i;

    printf("%s\n", verdicts[result->works]);
    for (i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *fixture = &result->fixtures[i];

        printf("%s:", fixture->name);
        print_state("existing", &fixture->states[FC_EXISTING]);
        if (result->converted) {
            printf(",");
            print_state("retrofit", &fixture->states[FC_RETROFIT]);
        }
        printf("\n");
    }
}

static void
print_messages(const fc_diagnostics *messages, fc_status status)
{
    size_t i;

    fprintf(stderr, "embed: %s\n", fc_status_text(status));
    for (i = 0; i < fc_diagnostics_count(messages); i++)
        fprintf(stderr, "embed: %s\n", fc_diagnostics_at(messages, i).text);
}

int
main(void)
{
    struct clinic c = { fc_site_new(), fc_diagnostics_new() };
    fc_check_result *result = NULL;
    fc_status status = FC_ENOMEM;

    if (c.site && c.messages)
        status = build(&c);
    if (status == FC_OK)
        status = fc_check(c.site, &result, c.messages);
    if (status == FC_OK)
        print_result(result);
    else
        print_messages(c.messages, status);
    /* The result borrows from the site, so it goes first. */
    fc_check_result_free(result);
    fc_site_free(c.site);
    fc_diagnostics_free(c.messages);
    if (fclose(stdout) != 0) /* a full disk */
        return EXIT_FAILURE;
    return status == FC_OK ? EXIT_SUCCESS : EXIT_FAILURE;
}
