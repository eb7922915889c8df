/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_of_values.c -- each sort of value changed.
 *
 * A building with every kind of section; a row of `rows` changes one key of
 * it, and the same is done to its text by hand.
 */
#include "unit/change_outcomes.h"
#include "generators/change_sites.h"
#include "unit/change_suite.h"

/* ---- The building ------------------------------------------------------ */

/* %s: the line under test.  Every kind of section. */
static const char *const base_lines[] = {
    "[site]",
    "title = Invented",
    "units = us",
    "code = ipc",
    "material = copper L",
    "condition = new",
    "reserve = 1 psi",
    "[source main]",
    "kind = street main",
    "static = 78..82 psi",
    "residual = 70 psi",
    "residual flow = 400 gpm",
    "[meter m]",
    "from = main",
    "kind = displacement",
    "size = 2 in",
    "[backflow b]",
    "from = m",
    "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi",
    "[prv r]",
    "from = b",
    "set = 75 psi",
    "fall-off = 6 psi at 60 gpm",
    "[pump p]",
    "from = r",
    "curve = 0 gpm 30 ft, 60 gpm 20 ft, 200 gpm 5 ft",
    "hold = 70..80 psi",
    "[pipe riser-1]",
    "from = p",
    "size = 2 in",
    "length = 40..60 ft",
    "fittings = 2 elbow 90, 1 tee branch",
    "[pipe riser-2]",
    "from = riser-1",
    "size = 2 in",
    "length = 12 ft",
    "rise = 12 ft",
    "c = 120",
    "[fixture wc]",
    "on = riser-2",
    "kind = water closet, flush valve",
    "count = 3",
    "existing = old",
    "retrofit = sensor",
    "stop = 1 psi",
    "rise = 2 ft",
    "[fixture lav]",
    "on = riser-1",
    "kind = lavatory",
    "use = private",
    "[fixture mop]",
    "on = riser-1",
    "kind = service sink",
    "[valve old]",
    "minimum flowing = 20 psi",
    "flow = 25 gpm at 25 psi",
    "full flush = 1.6 gal",
    "[valve sensor]",
    "minimum flowing = 25..30 psi",
    "flow = 20 gpm at 25 psi",
    "regulated = yes",
    "full flush = 1.28 gal",
    "reduced flush = 1.0 gal",
    "[demand d]",
    "on = riser-1",
    "flow = 5 gpm",
    "[heater h]",
    "on = riser-1",
    "serves = lav",
    "[prices c]",
    "material = copper L",
    "2 in = 20",
    "each = 50",
    "[price]",
    "meter = 900",
    "[usage]",
    "interval = 2 min",
    "[reading one]",
    "at = wc",
    "pressure = 50 psi",
    "flushing = 2 of wc",
    "gauge = shop",
    "[gauge shop]",
    "within = 2 %",
    "full scale = 160 psi",
    "number = 4711",
    "[reading two]",
    "at = main",
    "filled = 59 oz in 5 s",
    "[reading three]",
    "at = m",
    "dial = turns",
    "[reading four]",
    "at = riser-2",
    "pressure = 50 psi",
    "open = lav",
    "[look stop]",
    "at = wc",
    "shows = open",
    "[look riser]",
    "at = riser-2",
    "rise = 11 ft",
    "size = 2 in",
    "[claim one]",
    "fixture = wc",
    "flowing = 30 psi",
    "while = 2 of wc",
    "[tolerance]",
    "pressure = 1 psi",
    "length = 5%",
    "elevation = 1 ft",
    "c = 4 %",
    "flow test = 10 gpm",
};

/* `line` is what stands in the base text now; NULL: the key is added. */
static const struct row {
    enum fci_kind kind;
    const char *name, *key, *value, *line;
} rows[] = {
    { FCI_SITE, NULL, "title", "Another", "title = Invented" },
    { FCI_SITE, "", "title", NULL, "title = Invented" },
    { FCI_SITE, NULL, "units", "si", "units = us" },
    { FCI_SITE, NULL, "code", "upc", "code = ipc" },
    { FCI_SITE, NULL, "code minimum", "no", NULL },
    { FCI_SITE, NULL, "material", "copper K", "material = copper L" },
    { FCI_SITE, NULL, "condition", NULL, "condition = new" },
    { FCI_SITE, NULL, "condition", "aged", "condition = new" },
    { FCI_SITE, NULL, "reserve", "2 psi", "reserve = 1 psi" },
    { FCI_SITE, NULL, "water temperature", "80 degF", NULL },
    { FCI_SOURCE, "main", "static", "90 psi", "static = 78..82 psi" },
    { FCI_SOURCE, "MAIN", "static", "5.0..5.5 bar", "static = 78..82 psi" },
    { FCI_SOURCE, "main", "Residual  Flow", "300..350 gpm",
      "residual flow = 400 gpm" },
    { FCI_METER, "m", "size", "1-1/2 in", "size = 2 in" },
    { FCI_METER, "m", "size", "DN40", "size = 2 in" },
    { FCI_METER, "m", "rise", "3 ft", NULL },
    { FCI_BACKFLOW, "b", "loss", "6..8 psi",
      "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi" },
    { FCI_BACKFLOW, "b", "loss", "6 psi at 40 gpm",
      "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi" },
    { FCI_BACKFLOW, "b", "loss", "0 gpm 1 psi, 90 gpm 9 psi",
      "loss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi" },
    { FCI_REDUCER, "r", "set", "60..65 psi", "set = 75 psi" },
    { FCI_REDUCER, "r", "fall-off", "2 psi at 10 gpm",
      "fall-off = 6 psi at 60 gpm" },
    { FCI_REDUCER, "r", "fall-off", NULL, "fall-off = 6 psi at 60 gpm" },
    { FCI_REDUCER, "r", "loss", "2 psi at 50 gpm", NULL },
    { FCI_PUMP, "p", "curve", "0 gpm 60 ft, 90 gpm 30 ft",
      "curve = 0 gpm 30 ft, 60 gpm 20 ft, 200 gpm 5 ft" },
    { FCI_PUMP, "p", "hold", NULL, "hold = 70..80 psi" },
    { FCI_PUMP, "p", "running", "no", NULL },
    { FCI_PIPE, "riser-1", "size", "2-1/2 in", "size = 2 in" },
    { FCI_PIPE, "riser-1", "size", "1-1/2 in..2 in", "size = 2 in" },
    { FCI_PIPE, "riser-1", "size", "choose", "size = 2 in" },
    { FCI_PIPE, "riser-1", "length", "12'-6\"", "length = 40..60 ft" },
    { FCI_PIPE, "riser-1", "fittings", NULL,
      "fittings = 2 elbow 90, 1 tee branch" },
    { FCI_PIPE, "riser-1", "fittings", "1 gate valve",
      "fittings = 2 elbow 90, 1 tee branch" },
    { FCI_PIPE, "riser-2", "c", NULL, "c = 120" },
    { FCI_PIPE, "riser-2", "c", "80..100", "c = 120" },
    { FCI_PIPE, "riser-2", "from", "r", "from = riser-1" },
    { FCI_PIPE, "riser-2", "inside diameter", "1.9 in", NULL },
    { FCI_FIXTURE, "wc", "count", "5", "count = 3" },
    { FCI_FIXTURE, "wc", "retrofit", NULL, "retrofit = sensor" },
    { FCI_FIXTURE, "wc", "existing", NULL, "existing = old" },
    { FCI_FIXTURE, "wc", "existing", "siphonic closet 1.6 gal",
      "existing = old" },
    { FCI_FIXTURE, "wc", "stop", NULL, "stop = 1 psi" },
    { FCI_FIXTURE, "lav", "use", NULL, "use = private" },
    { FCI_VALVE, "sensor", "minimum flowing", "35 psi",
      "minimum flowing = 25..30 psi" },
    { FCI_VALVE, "old", "flow", "20..30 gpm at 30 psi",
      "flow = 25 gpm at 25 psi" },
    { FCI_VALVE, "sensor", "regulated", NULL, "regulated = yes" },
    { FCI_VALVE, "sensor", "reduced share", "30 %", NULL },
    { FCI_DEMAND, "d", "flow", "5..9 gpm", "flow = 5 gpm" },
    { FCI_HEATER, "h", "serves", "lav, mop", "serves = lav" },
    { FCI_PRICES, "c", "2 in", "25.5", "2 in = 20" },
    { FCI_PRICES, "c", "DN65", "30", NULL },
    { FCI_PRICES, "c", "2 in", NULL, "2 in = 20" },
    { FCI_PRICES, "c", "each", NULL, "each = 50" },
    { FCI_FIX_PRICES, NULL, "meter", "850", "meter = 900" },
    { FCI_FIX_PRICES, NULL, "valve", "85.5", NULL },
    { FCI_USAGE, NULL, "interval", "1 min", "interval = 2 min" },
    { FCI_USAGE, NULL, "interval", NULL, "interval = 2 min" },
    { FCI_READING, "one", "flushing", "none", "flushing = 2 of wc" },
    { FCI_READING, "one", "flow", "9 gpm", NULL },
    { FCI_READING, "two", "filled", "1 gal in 30 s", "filled = 59 oz in 5 s" },
    { FCI_READING, "two", "filled", "2 L in 4.5 s", "filled = 59 oz in 5 s" },
    { FCI_READING, "two", "pressure", "40 psi", NULL },
    { FCI_READING, "one", "gauge", NULL, "gauge = shop" },
    { FCI_READING, "three", "dial", "still", "dial = turns" },
    { FCI_READING, "four", "open", "wc, lav", "open = lav" },
    { FCI_READING, "four", "open", NULL, "open = lav" },
    { FCI_LOOK, "stop", "shows", "clogged", "shows = open" },
    { FCI_LOOK, "stop", "rise", "5 ft", NULL },
    { FCI_LOOK, "riser", "at", "riser-1", "at = riser-2" },
    { FCI_LOOK, "riser", "length", "14 ft", NULL },
    { FCI_LOOK, "riser", "size", NULL, "size = 2 in" },
    { FCI_LOOK, "riser", "size", "DN32", "size = 2 in" },
    { FCI_METER, "m", "gauge", "no", NULL },
    { FCI_PIPE, "riser-1", "gauge", "yes", NULL },
    { FCI_FIXTURE, "wc", "gauge", "no", NULL },
    { FCI_FIXTURE, "lav", "rate", "1..2 gpm at 30 psi", NULL },
    { FCI_GAUGE, "shop", "within", "3 psi", "within = 2 %" },
    { FCI_GAUGE, "shop", "full scale", "7 bar", "full scale = 160 psi" },
    { FCI_GAUGE, "shop", "number", NULL, "number = 4711" },
    { FCI_GAUGE, "shop", "calibrated", "2026-05-04", NULL },
    { FCI_CLAIM, "one", "while", "peak", "while = 2 of wc" },
    { FCI_CLAIM, "one", "while", NULL, "while = 2 of wc" },
    { FCI_CLAIM, "one", "state", "retrofit", NULL },
    { FCI_CLAIM, "one", "state", "existing", NULL },
    { FCI_CLAIM, "one", "while", "alone", "while = 2 of wc" },
    { FCI_CLAIM, "one", "stated in", "a letter; page #3", NULL },
    { FCI_TOLERANCE, NULL, "length", NULL, "length = 5%" },
    { FCI_TOLERANCE, NULL, "length", "2 ft", "length = 5%" },
    { FCI_TOLERANCE, NULL, "pressure", "3 psi", "pressure = 1 psi" },
    { FCI_TOLERANCE, NULL, "elevation", "6 in", "elevation = 1 ft" },
    { FCI_TOLERANCE, NULL, "c", NULL, "c = 4 %" },
    { FCI_TOLERANCE, NULL, "flow test", "5 %", "flow test = 10 gpm" },
};

static bool
heads_section_of(const char *line, const struct row *row)
{
    const char *word = fci_part_kinds[row->kind].word;
    const char *name = row->name ? row->name : "";
    char head[80];

    snprintf(head, sizeof head, "[%s%s%s]", word, *name ? " " : "", name);
    return fci_same_name(line, head);
}

/* One more line of the text; a value with a comment's sign needs quotes. */
static void
add_line(char *text, size_t size, const char *key, const char *value)
{
    const size_t used = strlen(text);
    const char *mark = value && strpbrk(value, ";#") ? "\"" : "";

    if (value)
        snprintf(text + used, size - used, "%s = %s%s%s\n", key, mark, value,
                 mark);
    else
        snprintf(text + used, size - used, "%s\n", key);
    ck_assert_uint_lt(strlen(text), size - 1);
}

/* The base text with the change of a row made in it by hand, a new key at the
 * end of its section; NULL: as it is. */
static char *
base_text(const struct row *row)
{
    static char text[8192];
    bool inside = false;
    int k, done = 0;

    text[0] = '\0';
    for (k = 0; k < COUNT(base_lines); k++) {
        const char *line = base_lines[k];

        if (*line == '[')
            inside = row && heads_section_of(line, row);
        if (inside && row->line && strcmp(line, row->line) == 0) {
            if (row->value)
                add_line(text, sizeof text, row->key, row->value);
            done++;
        } else {
            add_line(text, sizeof text, line, NULL);
        }
        if (inside && !row->line
            && (k + 1 == COUNT(base_lines) || *base_lines[k + 1] == '[')) {
            add_line(text, sizeof text, row->key, row->value);
            done++;
        }
    }
    ck_assert_int_eq(done, row != NULL);
    return text;
}

static struct fci_change
change_of(const struct row *row)
{
    return (struct fci_change){ row->kind, row->name, row->key, row->value,
                                NULL };
}

/* A change whose texts are gone when the changed site is used. */
static fc_site *
changed_by_passing_words(const fc_site *site, struct fci_change change)
{
    char name[64] = "", key[64], value[128] = "";
    fc_site *changed;

    if (change.name)
        change.name = strcpy(name, change.name);
    if (change.value)
        change.value = strcpy(value, change.value);
    change.key = strcpy(key, change.key);
    changed = changed_site(site, &change, 1);
    memset(name, 'x', sizeof name);
    memset(key, 'x', sizeof key);
    memset(value, 'x', sizeof value);
    return changed;
}

START_TEST(a_value)
{
    const struct fci_change change = change_of(&rows[_i]);
    fc_site *base = site_of(base_text(NULL));
    fc_site *untouched = site_of(base_text(NULL));
    fc_site *by_hand = site_of(base_text(&rows[_i]));
    fc_site *changed = changed_by_passing_words(base, change);
    fc_site *again = read_written(base, &change, 1), *copy, *back;

    same_sites(changed, by_hand, &at_peak, 0);
    same_sites(again, by_hand, &at_peak, 0);
    same_sites(base, untouched, &at_peak, 0);
    fc_site_free(base);
    copy = changed_site(changed, NULL, 0);
    same_sites(copy, by_hand, &at_peak, 0);
    back = read_written(copy, NULL, 0);
    same_sites(back, by_hand, &at_peak, 0);
    fc_site_free(back);
    fc_site_free(copy);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(by_hand);
    fc_site_free(untouched);
}
END_TEST

/* The same of a site made by calls. */
START_TEST(a_value_of_a_call)
{
    const struct fci_change change = change_of(&rows[_i]);
    fc_site *base = site_of(base_text(NULL)), *called = called_twin(base);
    fc_site *by_hand = site_of(base_text(&rows[_i]));
    fc_site *changed = changed_by_passing_words(called, change);
    fc_site *again = read_written(called, &change, 1);

    same_sites(called, base, &at_peak, 0);
    same_sites(changed, by_hand, &at_peak, 0);
    same_sites(again, by_hand, &at_peak, LAST_PLACES);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(by_hand);
    fc_site_free(called);
    fc_site_free(base);
}
END_TEST

/* Whether a row changes anything that is compared. */
START_TEST(a_value_matters)
{
    fc_site *base = site_of(base_text(NULL));
    fc_site *by_hand = site_of(base_text(&rows[_i]));
    struct outcome a = outcome_of(base, &at_peak);
    struct outcome b = outcome_of(by_hand, &at_peak);
    const bool differs =
        a.n != b.n || strcmp(a.words, b.words) != 0
        || memcmp(a.figures, b.figures, a.n * sizeof *a.figures) != 0;

    ck_assert_msg(differs, "%s = %s", rows[_i].key,
                  rows[_i].value ? rows[_i].value : "(taken away)");
    outcome_end(&a);
    outcome_end(&b);
    fc_site_free(by_hand);
    fc_site_free(base);
}
END_TEST

/* Changes one after the other are as all at once. */
START_TEST(in_steps)
{
    const struct fci_change changes[] = {
        { FCI_TOLERANCE, NULL, "length", "10 %", NULL },
        { FCI_METER, "m", "size", "1 in", NULL },
        { FCI_PIPE, "riser-1", "length", "30 ft", NULL },
        { FCI_PIPE, "riser-1", "size", "choose", NULL },
        { FCI_PIPE, "riser-2", "rise", "10 ft", NULL },
        { FCI_CLAIM, "one", "while", "peak", NULL },
        { FCI_BACKFLOW, "b", "loss", "3 psi at 50 gpm", NULL },
        { FCI_FIXTURE, "wc", "rise", "3 ft", NULL },
        /* over all of these: */
        { FCI_TOLERANCE, NULL, "length", NULL, NULL },
        { FCI_METER, "m", "size", "1-1/2 in", NULL },
        { FCI_PIPE, "riser-1", "length", "35 ft", NULL },
        { FCI_PIPE, "riser-1", "size", "2-1/2 in", NULL },
        { FCI_PIPE, "riser-2", "rise", "11 ft", NULL },
        { FCI_CLAIM, "one", "while", "3 of wc", NULL },
        { FCI_BACKFLOW, "b", "loss", "0 gpm 6 psi, 90 gpm 8 psi", NULL },
        { FCI_FIXTURE, "wc", "rise", NULL, NULL },
    };
    const size_t half = COUNT(changes) / 2;
    const int calls = _i;
    fc_site *read = site_of(base_text(NULL));
    fc_site *base = calls ? called_twin(read) : changed_site(read, NULL, 0);
    fc_site *one = changed_site(base, changes, half), *two, *at_once;

    two = changed_site(one, changes + half, half);
    at_once = changed_site(base, changes + half, half);
    same_sites(two, at_once, &at_peak, 0);
    fc_site_free(at_once);
    fc_site_free(two);
    fc_site_free(one);
    fc_site_free(base);
    fc_site_free(read);
}
END_TEST

TCase *
change_of_values(void)
{
    TCase *t = tcase_create("values");

    tcase_add_loop_test(t, a_value, 0, COUNT(rows));
    tcase_add_loop_test(t, a_value_of_a_call, 0, COUNT(rows));
    tcase_add_loop_test(t, a_value_matters, 0, COUNT(rows));
    tcase_add_loop_test(t, in_steps, 0, 2);
    return t;
}
