/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_flush_json.c -- flush events in the report for programs. */
#include "report/check_json.h"
#include "report/json_put.h"

static int
put_end_count(json_t *object, const char *key, int n)
{
    return fci_json_put(object, key, json_integer(n));
}

static int
put_ladder(json_t *object, fc_unit_system u, const fc_ladder *ladder)
{
    json_t *pressures = json_array();
    int bad =
        fci_json_put(object, "most_at_once",
                     ladder->given ? json_integer(ladder->most) : json_null());

    if (ladder->given && ladder->low < ladder->high) {
        bad |= put_end_count(object, "most_at_once_low", ladder->low);
        bad |= put_end_count(object, "most_at_once_high", ladder->high);
    }
    for (size_t i = 0; ladder->given && i < ladder->n_pressures; i++)
        bad |= fci_json_add(
            pressures,
            json_real(fc_from_si(u, FC_PRESSURE, ladder->pressures[i])));
    return bad | fci_json_put(object, "pressures_at_once", pressures);
}

static int
put_chance(json_t *object, const char *key, const fc_chance *chance)
{
    json_t *value = chance->given ? json_object() : json_null();
    int bad = 0;

    if (chance->given) {
        bad |= fci_json_put_number(value, "estimate", chance->estimate);
        bad |= fci_json_put_number(value, "low", chance->low);
        bad |= fci_json_put_number(value, "high", chance->high);
    }
    return bad | fci_json_put(object, key, value);
}

static int
put_busy(json_t *object, fc_unit_system u, const fc_busy *busy)
{
    int bad = put_chance(object, "weak_flush_chance", &busy->weak);

    if (!busy->weak.given)
        return bad;
    if (busy->weak_worst.given) {
        bad |=
            put_chance(object, "weak_flush_chance_worst", &busy->weak_worst);
        bad |= put_chance(object, "weak_flush_chance_best", &busy->weak_best);
    }
    bad |= fci_json_put_figure(object, "mean_pressure", u, FC_PRESSURE,
                               busy->mean);
    return bad
           | fci_json_put_figure(object, "fifth_percentile_pressure", u,
                                 FC_PRESSURE, busy->fifth);
}

int
fci_check_json_put_flush(json_t *object, fc_unit_system u,
                         const fc_fixture_state *end)
{
    int bad;

    if (!end->valve)
        return fci_json_put_range(object, "shared_pressure", u, FC_PRESSURE,
                                  end->shared);
    bad = fci_json_put_range(object, "alone_pressure", u, FC_PRESSURE,
                             end->alone);
    bad |= put_ladder(object, u, &end->ladder);
    return bad | put_busy(object, u, &end->busy);
}

static int
put_set(json_t *object, const fc_ladder *ladder)
{
    json_t *set = json_array();
    int bad = 0;

    for (size_t i = 0; i < ladder->n_first; i++) {
        json_t *one = json_object();

        bad |= fci_json_put_text(one, "fixture", ladder->first[i].fixture);
        bad |=
            fci_json_put(one, "count", json_integer(ladder->first[i].count));
        bad |= fci_json_add(set, one);
    }
    return bad | fci_json_put(object, "set", set);
}

int
fci_check_json_put_least(json_t *object, const fc_check_result *result,
                         fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const fc_ladder *ladder;
    json_t *least;
    int bad = fci_json_put_count(object, "states_drawn", s->states_drawn);

    if (s->starved >= result->n_fixtures)
        return bad | fci_json_put(object, "least_that_starves", json_null());
    ladder = &result->fixtures[s->starved].states[state].ladder;
    least = json_object();
    bad |= fci_json_put(least, "number", json_integer(ladder->most + 1));
    bad |=
        fci_json_put_text(least, "fixture", result->fixtures[s->starved].name);
    bad |= put_set(least, ladder);
    return bad | fci_json_put(object, "least_that_starves", least);
}
