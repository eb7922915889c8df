/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/keys.c -- what may be answered: how it is read, and asked for.
 */
#include "flushcalc/starter.h"
#include "ini/field_rows.h"
#include "starter/reading.h"

static const char *const code_words[] = { "ipc", "upc", NULL };
static const char *const units_words[] = { "us", "si", NULL };

#define WHOLE(k)                                                              \
    {                                                                         \
        .key = (k), .type = &fci_skip_field                                   \
    }
#define A_TEXT(key, member) TEXT(key, struct fci_answers, member)
#define A_RANGE(key, dimension, domain, member)                               \
    RANGE(key, dimension, domain, struct fci_answers, member)

const struct fci_field fci_answer_fields[FCI_ANSWERS] = {
    [FCI_ASK_TITLE] = A_TEXT("title", title),
    [FCI_ASK_STORIES] = WHOLE("stories"),
    [FCI_ASK_FLOOR] = A_RANGE("floor", FC_LENGTH, FCI_POSITIVE, floor),
    [FCI_ASK_BATTERIES] = WHOLE("batteries"),
    [FCI_ASK_CLOSETS] = WHOLE("closets"),
    [FCI_ASK_URINALS] = WHOLE("urinals"),
    [FCI_ASK_LAVATORIES] = WHOLE("lavatories"),
    [FCI_ASK_EXISTING] = A_TEXT("existing", existing),
    [FCI_ASK_RETROFIT] = A_TEXT("retrofit", retrofit),
    [FCI_ASK_MAIN] = A_RANGE("main", FC_PRESSURE, FCI_ANY, main),
    [FCI_ASK_FLOW_TEST] = { KEY("flow-test", &fci_flow_test_field, FC_PRESSURE,
                                FCI_ANY, struct fci_answers, flow_test),
                            .second =
                                offsetof(struct fci_answers, n_flow_test),
                            .second_dimension = FC_FLOW },
    [FCI_ASK_TANK] = A_RANGE("tank", FC_LENGTH, FCI_ANY, tank),
    [FCI_ASK_PRESSURE] =
        A_RANGE("pressure", FC_PRESSURE, FCI_POSITIVE, pressure),
    [FCI_ASK_FIRST_FLOOR] =
        A_RANGE("first-floor", FC_LENGTH, FCI_ANY, first_floor),
    [FCI_ASK_METER] = A_TEXT("meter", meter),
    [FCI_ASK_BACKFLOW] = A_TEXT("backflow", backflow),
    [FCI_ASK_BOOSTER] = A_TEXT("booster", booster_text),
    [FCI_ASK_PRV_ZONES] = A_TEXT("prv-zones", prv_text),
    [FCI_ASK_MATERIAL] = A_TEXT("material", material_name),
    [FCI_ASK_SERVICE] = A_RANGE("service", FC_SIZE, FCI_POSITIVE, service),
    [FCI_ASK_RISER] = A_RANGE("riser", FC_SIZE, FCI_POSITIVE, riser),
    [FCI_ASK_BRANCH] = A_RANGE("branch", FC_SIZE, FCI_POSITIVE, branch),
    [FCI_ASK_CODE] =
        CHOICE("code", code_words, FC_IPC, struct fci_answers, code),
    [FCI_ASK_UNITS] =
        CHOICE("units", units_words, FC_US, struct fci_answers, units),
};

#define ASK(k, a, m)                                                          \
    {                                                                         \
        .key = (k), .asks = (a), .may_be = (m)                                \
    }

static const fc_starter_key keys[FCI_ANSWERS] = {
    [FCI_ASK_TITLE] = ASK("title", "name of the building",
                          "any text; Enter: how many stories it has"),
    [FCI_ASK_STORIES] = { .key = "stories",
                          .asks = "stories, which is needed",
                          .may_be = "such as 8",
                          .needed = true },
    [FCI_ASK_FLOOR] = ASK("floor", "height from floor to floor",
                          "such as 12 ft or 11..13 ft; Enter: what is usual"),
    [FCI_ASK_BATTERIES] =
        ASK("batteries", "toilet rooms on a floor", "such as 2; Enter: 1"),
    [FCI_ASK_CLOSETS] = ASK("closets", "closets with flush valves on a floor",
                            "such as 5; Enter: 1 to 4 a toilet room"),
    [FCI_ASK_URINALS] = ASK("urinals", "urinals with flush valves on a floor",
                            "such as 2; Enter: left out"),
    [FCI_ASK_LAVATORIES] = ASK("lavatories", "lavatories on a floor",
                               "such as 4; Enter: left out"),
    [FCI_ASK_EXISTING] = ASK("existing", "valves they have",
                             "such as siphonic closet 3.5 gal, urinal 1.0 "
                             "gal; Enter: a generic valve"),
    [FCI_ASK_RETROFIT] = ASK("retrofit", "valves they will have",
                             "such as siphonic closet 1.28 gal, urinal 0.125 "
                             "gal; Enter: no retrofit"),
    [FCI_ASK_MAIN] = ASK("main", "static pressure at the city main",
                         "such as 60 psi; Enter: what is usual"),
    [FCI_ASK_FLOW_TEST] = ASK("flow-test", "flow test of the main",
                              "such as 45 psi at 500 gpm; Enter: not known"),
    [FCI_ASK_TANK] =
        ASK("tank",
            "water level over the first floor, of a tank in place of "
            "a main",
            "such as 110 ft; Enter: there is none"),
    [FCI_ASK_PRESSURE] =
        ASK("pressure", "constant pressure in place of a main",
            "such as 70 psi; Enter: there is none"),
    [FCI_ASK_FIRST_FLOOR] =
        ASK("first-floor", "elevation of the first floor over the gauge",
            "such as 4 ft; Enter: what is usual"),
    [FCI_ASK_METER] =
        ASK("meter", "meter",
            "such as 2 in, 3 in compound, or none; Enter: not known"),
    [FCI_ASK_BACKFLOW] = ASK("backflow", "backflow preventer",
                             "rp, double check or none; Enter: not known"),
    [FCI_ASK_BOOSTER] =
        ASK("booster", "booster: floors and discharge set pressure",
            "such as 5..8: 95 psi; Enter: none"),
    [FCI_ASK_PRV_ZONES] = ASK("prv-zones", "PRVs: floors and set pressure",
                              "such as 1..4: 60 psi; Enter: none"),
    [FCI_ASK_MATERIAL] =
        ASK("material", "pipe material",
            "such as copper L or steel sch 40; Enter: not known"),
    [FCI_ASK_SERVICE] =
        ASK("service", "size of the service",
            "such as 3 in or 2 in .. 3 in; Enter: by its flow"),
    [FCI_ASK_RISER] =
        ASK("riser", "size of the riser", "such as 3 in; Enter: by its flow"),
    [FCI_ASK_BRANCH] = ASK("branch", "size of the branch to a toilet room",
                           "such as 2 in; Enter: by its flow"),
    [FCI_ASK_CODE] = ASK("code", "plumbing code", "ipc or upc; Enter: ipc"),
    [FCI_ASK_UNITS] =
        ASK("units", "units of the report", "us or si; Enter: us"),
};

size_t
fc_starter_keys(const fc_starter_key **list)
{
    if (list)
        *list = keys;
    return FCI_ANSWERS;
}
