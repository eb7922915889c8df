/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_of_settings.c -- a site file that is read with other
 * values than it has is worked out as the file that has them.
 *
 * The other file is made by editing lines of the text, below, by nothing of
 * the library.
 */
#include "generators/buildings.h"
#include "generators/change_sites.h"
#include "unit/change_outcomes.h"
#include "unit/change_suite.h"
#include "variants/site_write.h"

#include <jansson.h>
#include <math.h>

/* What may be set of a part of a kind, always possible. */
static const struct {
    enum fci_kind kind;
    const char *key, *value;
} values[] = {
    { FCI_PIPE, "length", "37.5 ft" },
    { FCI_PIPE, "length", "20..33 m" },
    { FCI_PIPE, "c", "95" },
    { FCI_PIPE, "c", "90..130" },
    { FCI_PIPE, "condition", "aged" },
    { FCI_PIPE, "velocity limit", "5 ft/s" },
    { FCI_METER, "rise", "1 ft" },
    { FCI_BACKFLOW, "loss", "3 psi at 40 gpm" },
    { FCI_DEVICE, "loss", "0 gpm 1 psi, 40 gpm 2 psi, 90 gpm 7 psi" },
    { FCI_REDUCER, "set", "44 psi" },
    { FCI_REDUCER, "fall-off", "2 psi at 30 gpm" },
    { FCI_PUMP, "running", "no" },
    { FCI_FIXTURE, "count", "4" },
    { FCI_FIXTURE, "rise", "1 m" },
    { FCI_FIXTURE, "stop", "1 psi at 20 gpm" },
    { FCI_VALVE, "closing time", "3 s" },
    { FCI_DEMAND, "flow", "3 gpm" },
    { FCI_SITE, "reserve", "2 psi" },
    { FCI_SITE, "code minimum", "no" },
};

struct text {
    char *text;
    size_t size;
    FILE *out;
};

static bool
begins_with(const char *line, const char *word)
{
    return strncmp(line, word, strlen(word)) == 0;
}

/* A text with a key of a section set: where it stood, else first. */
static char *
edited(const char *text, const char *heading, const char *key,
       const char *value)
{
    struct text t = { NULL, 0, NULL };
    char start[128];
    bool within = false;

    snprintf(start, sizeof start, "%s =", key);
    t.out = open_memstream(&t.text, &t.size);
    while (*text) {
        const size_t n = strcspn(text, "\n");

        if (*text == '[')
            within = begins_with(text, heading);
        if (!within || !begins_with(text, start))
            fprintf(t.out, "%.*s\n", (int)n, text);
        if (within && *text == '[')
            fprintf(t.out, "%s = %s\n", key, value);
        text += n + (text[n] == '\n');
    }
    fclose(t.out);
    return t.text;
}

static fc_site *
read_text(const char *text, const char *const *settings, size_t n)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;

    ck_assert_msg(fc_site_read_text_with(text, strlen(text), "site.ini",
                                         settings, n, &site, messages)
                      == FC_OK,
                  "%s%s", all_messages(messages), text);
    fc_diagnostics_free(messages);
    return site;
}

/* ---- Whole reports ---------------------------------------------------- */

static char *
report_of(const fc_site *site, fc_form form)
{
    const fc_check_options options = { .threads = 1, .most_states = 200 };
    const fc_report_options how = { .width = 5000, .full = true };
    fc_check_result *result = NULL;
    fc_report *report = NULL;
    char *text = NULL;

    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    ck_assert_int_eq(fc_report_check(site, result, NULL, &report), FC_OK);
    ck_assert_int_eq(fc_report_write(report, form, &how, &text, NULL, NULL),
                     FC_OK);
    fc_report_free(report);
    fc_check_result_free(result);
    return text;
}

/* Without the line that tells what was set; true: there was one. */
static bool
drop_line(char *text)
{
    char *line = strstr(text, "Set on the command line: "), *end;

    if (!line)
        return false;
    end = strchr(line, '\n') + 1;
    memmove(line, end, strlen(end) + 1);
    return true;
}

static void
same_texts(const fc_site *set, const fc_site *written)
{
    char *a = report_of(set, FC_TEXT), *b = report_of(written, FC_TEXT);

    ck_assert(drop_line(a));
    ck_assert(!drop_line(b));
    ck_assert_str_eq(a, b);
    fc_free(a);
    fc_free(b);
}

static void
same_data(const fc_site *set, const fc_site *written, size_t n_set)
{
    char *a = report_of(set, FC_JSON), *b = report_of(written, FC_JSON);
    json_t *one = json_loads(a, 0, NULL), *other = json_loads(b, 0, NULL);

    ck_assert_ptr_nonnull(one);
    ck_assert_uint_eq(json_array_size(json_object_get(one, "set")), n_set);
    ck_assert_ptr_null(json_object_get(other, "set"));
    json_object_del(one, "set");
    json_object_del(one, "digest");
    json_object_del(other, "digest");
    ck_assert_msg(json_equal(one, other), "%s\n%s", a, b);
    json_decref(one);
    json_decref(other);
    fc_free(a);
    fc_free(b);
}

/* ---- Generated buildings ---------------------------------------------- */

#define MOST 6

struct chosen {
    const struct fci_part *part;
    int value;
};

static size_t
choose(const fc_site *site, gsl_rng *rng, struct chosen *chosen)
{
    size_t n = 0, i;

    for (int tries = 0; tries < 300 && n < MOST; tries++) {
        const struct chosen c = {
            &site->parts[gsl_rng_uniform_int(rng, site->n_parts)],
            (int)gsl_rng_uniform_int(rng, (unsigned long)COUNT(values))
        };

        if (c.part->kind != values[c.value].kind)
            continue;
        for (i = 0; i < n; i++)
            if (chosen[i].part == c.part
                && strcmp(values[chosen[i].value].key, values[c.value].key)
                       == 0)
                break;
        chosen[n] = c;
        n += i == n;
    }
    return n;
}

static const char *
kind_word(const struct fci_part *part)
{
    return fci_part_kinds[part->kind].word;
}

/* "valve closet", "riser", "site" */
static void
name_of(const struct fci_part *part, char *name, size_t size)
{
    if (fci_is_element(part->kind) || part->kind == FCI_FIXTURE)
        snprintf(name, size, "%s", part->name);
    else
        snprintf(name, size, "%s%s%s", kind_word(part), *part->name ? " " : "",
                 part->name);
}

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 40 }, { .fewest = 3, .most = 40, .ranges = true }
};

/* Half of them in one text, half each in its own. */
START_TEST(generated)
{
    const struct building_style style = { (fc_unit_system)(_i % 2), NULL,
                                          NULL };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    char heading[200], name[200], texts[MOST][300], joined[MOST * 300] = "";
    const char *settings[MOST];
    const char *const in_one[] = { joined };
    struct chosen chosen[MOST];
    struct building b;
    fc_site *site, *set, *by_hand, *again;
    char *text, *by_library;
    size_t n;

    gsl_rng_set(rng, (unsigned long)_i + 1);
    building_make(&b, 9000 + (unsigned long)_i, &plans[_i % 2]);
    text = building_text(&b, &style);
    site = read_text(text, NULL, 0);
    n = choose(site, rng, chosen);
    ck_assert_uint_gt(n, 0);
    by_library = strdup(text);
    for (size_t i = 0; i < n; i++) {
        const struct fci_part *part = chosen[i].part;
        char *before = by_library;

        snprintf(heading, sizeof heading, "[%s%s%s]", kind_word(part),
                 *part->name ? " " : "", part->name);
        by_library = edited(before, heading, values[chosen[i].value].key,
                            values[chosen[i].value].value);
        free(before);
        name_of(part, name, sizeof name);
        snprintf(texts[i], sizeof texts[i], "%s.%s=%s", name,
                 values[chosen[i].value].key, values[chosen[i].value].value);
        settings[i] = texts[i];
        strcat(strcat(joined, i > 0 ? " ; " : ""), texts[i]);
    }
    by_hand = read_text(by_library, NULL, 0);
    set =
        _i % 4 < 2 ? read_text(text, settings, n) : read_text(text, in_one, 1);
    ck_assert_uint_eq(fc_site_set_values(set), n);
    ck_assert_str_eq(fc_site_digest(set), fc_site_digest(site));
    same_sites(set, by_hand, &at_peak, 0);
    same_texts(set, by_hand);
    same_data(set, by_hand, n);
    free(by_library);
    by_library = written(set, NULL, 0, NULL);
    again = read_text(by_library, NULL, 0);
    same_sites(set, again, &at_peak, 0);
    fc_site_free(again);
    ck_assert_int_eq(fc_site_with(site, settings, n, &again, NULL), FC_OK);
    same_sites(set, again, &at_peak, 0);
    fc_site_free(again);
    fc_site_free(set);
    fc_site_free(by_hand);
    fc_site_free(site);
    free(text);
    free(by_library);
    building_free(&b);
    gsl_rng_free(rng);
}
END_TEST

/* ---- By hand ---------------------------------------------------------- */

static void
same_as(const char *text, const char *setting, const char *by_hand)
{
    const char *const settings[] = { setting };
    fc_site *set = read_text(text, settings, 1);
    fc_site *other = read_text(by_hand, NULL, 0), *again;
    char *composed = written(set, NULL, 0, NULL);

    same_sites(set, other, &at_peak, 0);
    again = read_text(composed, NULL, 0);
    same_sites(again, other, &at_peak, 0);
    free(composed);
    fc_site_free(again);
    fc_site_free(other);
    fc_site_free(set);
}

#define HEAD                                                                  \
    "[site]\nmaterial = copper L\ncondition = new\n"                          \
    "[source main]\nkind = fixed\npressure = 40 psi\n"
#define FIRST "[pipe riser-0]\nfrom = main\nsize = 2 in\nlength = 20 ft\n"
#define RISERS(size)                                                          \
    "[pipe riser-{floor}]\nfloors = 1..3\nfrom = riser-{floor-1}\n"           \
    "size = " size "\nlength = 12 ft\nrise = 12 ft\n"
#define CLOSETS                                                               \
    "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"               \
    "kind = water closet, flush valve\n"
#define RISER(n, m, size)                                                     \
    "[pipe riser-" n "]\nfrom = riser-" m "\nsize = " size                    \
    "\nlength = 12 ft\nrise = 12 ft\n"

START_TEST(typical_floors)
{
    same_as(small_text, "riser-{floor}.size = 3 in",
            HEAD FIRST RISERS("3 in") CLOSETS);
    same_as(small_text, "RISER-2.Size = 3 in",
            HEAD FIRST RISER("1", "0", "2 in") RISER("2", "1", "3 in")
                RISER("3", "2", "2 in") CLOSETS);
    same_as(small_text, "riser-{floor}.size=3 in; riser-2.size=4 in",
            HEAD FIRST RISER("1", "0", "3 in") RISER("2", "1", "4 in")
                RISER("3", "2", "3 in") CLOSETS);
    same_as(small_text, "wc-{floor}.on = riser-{floor-1}",
            HEAD FIRST RISERS("2 in") "[fixture wc-{floor}]\nfloors = 1..3\n"
                                      "on = riser-{floor-1}\n"
                                      "kind = water closet, flush valve\n");
}
END_TEST

START_TEST(without)
{
    static const char middle[] =
        HEAD "[backflow rp.a]\nfrom = main\nloss = 6 psi\n"
             "[pipe p]\nfrom = rp.a\nsize = 2 in\nlength = 9 ft\n"
             "[fixture wc]\non = p\nkind = water closet, flush valve\n"
             "[fixture tap]\non = rp.a\nkind = lavatory\n";

    same_as(middle, "without = rp.a",
            HEAD "[pipe p]\nfrom = main\nsize = 2 in\nlength = 9 ft\n"
                 "[fixture wc]\non = p\nkind = water closet, flush valve\n"
                 "[fixture tap]\non = main\nkind = lavatory\n");
    same_as(middle, "without = p, tap; rp.a.loss = 2 psi",
            HEAD "[backflow rp.a]\nfrom = main\nloss = 2 psi\n"
                 "[fixture wc]\non = rp.a\n"
                 "kind = water closet, flush valve\n");
    same_as(small_text, "riser-{floor}.rise=0 ft; without=riser-{floor}",
            HEAD FIRST "[fixture wc-{floor}]\nfloors = 1..3\non = riser-0\n"
                       "kind = water closet, flush valve\n");
}
END_TEST

/* What the file lacks may be set, and what it has wrong; the text that is
 * written has it. */
START_TEST(only_with_it)
{
    static const char right[] =
        "[source main]\nkind = fixed\npressure = 40 psi\n"
        "[fixture wc]\non = main\nkind = water closet, flush valve\n";

    same_as("[source main]\nkind = fixed\n"
            "[fixture wc]\non = main\nkind = water closet, flush valve\n",
            "main.pressure = 40 psi", right);
    same_as("[source main]\nkind = fixed\npressure = 40 feet\n"
            "[fixture wc]\non = mian\nkind = water closet, flush valve\n",
            "main.pressure = 40 psi; wc.on = main", right);
    same_as(right, "site.title = \"A; B\"; usage.people = 30",
            "[site]\ntitle = \"A; B\"\n[source main]\nkind = fixed\n"
            "pressure = 40 psi\n[fixture wc]\non = main\n"
            "kind = water closet, flush valve\n[usage]\npeople = 30\n");
}
END_TEST

static const struct {
    const char *setting, *message;
} refusals[] = {
    { "main.presure = 3 psi",
      "[source main] has no key \"presure\"; did you mean \"pressure\"?" },
    { "mian.pressure = 3 psi",
      "\"mian\" is not a part of the site; did you mean \"main\"?" },
    { "main.pressure = 3 gpm",
      "[source main] pressure \"3 gpm\" is a flow; a pressure is needed, "
      "such as 62 psi or 4.3 bar" },
    { "riser-{floor}.size = 3 psi",
      "[pipe riser-1] size \"3 psi\" is a pressure; a nominal size is "
      "needed, such as 1-1/4 in or DN32" },
    { "riser-{floor}.from = riser-{flor}",
      "[pipe riser-1] holds \"riser-{flor}\"; {floor}, {floor-1} or "
      "{floor+1} is expected between braces" },
    { "riser-4.size = 3 in",
      "\"riser-4\" is not a part of the site; the name of an element or a "
      "fixture is expected, or a kind and a name, such as valve closet" },
    { "without = riser-2",
      "\"riser-2\" has rise = 12 ft, by which all that it feeds would "
      "stand elsewhere without it; \"riser-2.rise = 0 ft\" before is "
      "expected, if that is meant" },
    { "without = main",
      "\"main\" is a source, and nothing leads to it; an element "
      "downstream of one is expected" },
    { "without = riser-0,",
      "\"without\" names nothing between two commas; names of parts are "
      "expected" },
    { "main.pressure=3 psi;MAIN.pressure=4 psi",
      "main.pressure is set twice; it is expected once" },
    { "pressure = 3 psi",
      "\"pressure\" names no part and key; NAME.KEY = VALUE, such as "
      "street.static = 69 psi, or without = NAMES is expected" },
    { "main.pressure",
      "\"main.pressure\" has no \"=\"; NAME.KEY = VALUE, such as "
      "street.static = 69 psi, or without = NAMES is expected" },
    { "main.pressure=",
      "\"main.pressure\" has no value; expected one after \"=\"" },
    { " ; ",
      "nothing is set; NAME.KEY = VALUE, such as street.static = 69 psi, "
      "or without = NAMES is expected" },
    { "valve senor.flow = 3 gpm",
      "\"valve senor\" is not a part of the site; did you mean \"valve "
      "sensor\"?" },
    { "site.title = \"A",
      "the value begins with a quote that does not end it; a second \" "
      "is expected at its end" },
    { "main.pressure = \xff",
      "byte 17 is no text; one line of UTF-8 is expected" },
    { "without = riser-0",
      "[reading r] is at \"riser-0\"; without that \"reading r\" has no "
      "place, and is expected among what is taken out" },
};

START_TEST(refused)
{
    static const char valve[] =
        "[valve sensor]\nminimum flowing = 25 psi\n[reading r]\n"
        "at = riser-0\npressure = 30 psi\n";
    const char *const settings[] = { refusals[_i].setting };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_diagnostic said;
    fc_site *site = NULL;
    char text[1200];

    snprintf(text, sizeof text, "%s%s", small_text, valve);
    ck_assert_int_eq(fc_site_read_text_with(text, strlen(text), "site.ini",
                                            settings, 1, &site, messages),
                     FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    said = fc_diagnostics_at(messages, 0);
    ck_assert_int_eq(said.line, 0);
    ck_assert_int_eq(strncmp(said.file, "--set ", 6), 0);
    ck_assert_str_eq(said.file + 6, refusals[_i].setting);
    ck_assert_str_eq(said.text, refusals[_i].message);
    ck_assert_ptr_null(site);
    fc_diagnostics_free(messages);
}
END_TEST

/* A site that no file made has no lines to set anything over. */
START_TEST(of_calls)
{
    fc_site *site = read_text(small_text, NULL, 0), *twin, *set = NULL;
    const char *const settings[] = { "main.pressure = 3 psi" };

    twin = called_twin(site);
    ck_assert_int_eq(fc_site_with(twin, settings, 1, &set, NULL), FC_ESTATE);
    ck_assert_ptr_null(set);
    fc_site_free(twin);
    fc_site_free(site);
}
END_TEST

/* What was set stays with more set over it, and with a copy. */
START_TEST(told)
{
    const char *const first[] = { "main.pressure = 50 psi" };
    const char *const more[] = { "site.reserve = 2 psi" };
    fc_site *site = read_text(small_text, first, 1), *set = NULL;
    fc_site *copy = NULL;
    fc_set_value value;

    ck_assert_int_eq(fc_site_with(site, more, 1, &set, NULL), FC_OK);
    ck_assert_int_eq(fc_site_copy(set, &copy, NULL), FC_OK);
    fc_site_free(site);
    fc_site_free(set);
    ck_assert_uint_eq(fc_site_set_values(copy), 2);
    value = fc_site_set_value_at(copy, 0);
    ck_assert_str_eq(value.part, "main");
    ck_assert_str_eq(value.key, "pressure");
    ck_assert_str_eq(value.value, "50 psi");
    ck_assert_str_eq(value.was, "40 psi");
    value = fc_site_set_value_at(copy, 1);
    ck_assert_str_eq(value.part, "site");
    ck_assert_ptr_null(value.was);
    ck_assert_uint_eq(strlen(fc_site_digest(copy)), 64);
    fc_site_free(copy);
}
END_TEST

/* ---- Cases ------------------------------------------------------------ */

static void
same_range(fc_range a, fc_range b)
{
    ck_assert_int_eq(a.given, b.given);
    ck_assert(fabs(a.nominal - b.nominal) <= 0);
    ck_assert(fabs(a.low - b.low) <= 0 && fabs(a.high - b.high) <= 0);
}

struct checked {
    fc_site *site;
    fc_check_result *result;
};

static struct checked
check_text(const char *text)
{
    const fc_check_options options = { .threads = 1, .most_states = 200 };
    struct checked c = { .site = read_text(text, NULL, 0) };

    ck_assert_int_eq(fc_check_with(c.site, &options, &c.result, NULL), FC_OK);
    return c;
}

static void
checked_end(struct checked *c)
{
    fc_check_result_free(c->result);
    fc_site_free(c->site);
}

/* A building of a comparison has the figures of a check. */
static void
compared_as(const fc_compared_building *b, const fc_check_result *result)
{
    ck_assert(b->calculated);
    ck_assert_int_eq(b->works, result->works);
    ck_assert_int_eq(b->too_high, result->too_high);
    ck_assert_int_eq(b->judged == FC_RETROFIT, result->converted);
    for (int s = 0; s <= (int)b->judged; s++) {
        const fc_checked_state *is = &result->states[s];
        const fc_compared_state *told_of = &b->states[s];
        fc_chance weak = { false, 0, 0, 0 };

        ck_assert_int_eq(told_of->works, is->works);
        ck_assert_uint_eq(told_of->working, is->working);
        ck_assert_uint_eq(told_of->failing, is->failing);
        ck_assert_uint_eq(told_of->unclear, is->unclear);
        same_range(told_of->peak_flow, is->peak_flow);
        ck_assert_uint_eq(told_of->n_zones, is->n_zones);
        ck_assert_int_eq(told_of->governing != NULL,
                         is->governing < result->n_fixtures);
        if (told_of->governing) {
            const fc_checked_fixture *f = &result->fixtures[is->governing];

            ck_assert_str_eq(told_of->governing, f->name);
            same_range(told_of->margin, f->states[s].margin);
        }
        for (size_t i = 0; i < result->n_fixtures; i++) {
            const fc_busy *busy = &result->fixtures[i].states[s].busy;

            if (busy->weak.given
                && (!weak.given || busy->weak.estimate > weak.estimate))
                weak = busy->weak;
        }
        ck_assert_int_eq(told_of->weak.given, weak.given);
        ck_assert(!weak.given || told_of->weak.estimate >= weak.estimate);
    }
}

/* A case for each value, and each set over the file too: some twenty checks
 * with all that happens at once, of which each takes a second in a building of
 * forty fixtures. */
START_TEST(compared)
{
    const struct building_plan plan = { .fewest = 3,
                                        .most = 16,
                                        .ranges = _i % 2 };
    const struct building_style style = { (fc_unit_system)(_i % 2), NULL,
                                          NULL };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    char heading[200], name[200], texts[MOST][300];
    const char *settings[MOST];
    fc_sites_options options = { .check = { .threads = 1, .most_states = 200 },
                                 .settings = settings };
    fc_comparison *comparison = NULL;
    struct checked checked;
    fc_site_file file = { .path = "site.ini" };
    struct chosen chosen[MOST];
    struct text with = { NULL, 0, NULL };
    struct building b;
    fc_site *site;
    char *text, *by_hand;
    size_t n;

    gsl_rng_set(rng, (unsigned long)_i + 1);
    building_make(&b, 9500 + (unsigned long)_i, &plan);
    text = building_text(&b, &style);
    site = read_text(text, NULL, 0);
    n = choose(site, rng, chosen);
    ck_assert_uint_gt(n, 0);
    with.out = open_memstream(&with.text, &with.size);
    fputs(text, with.out);
    for (size_t i = 0; i < n; i++) {
        name_of(chosen[i].part, name, sizeof name);
        snprintf(texts[i], sizeof texts[i], "%s.%s=%s", name,
                 values[chosen[i].value].key, values[chosen[i].value].value);
        settings[i] = texts[i];
        fprintf(with.out, "[case c%zu]\n%s\n", i, texts[i]);
    }
    fputs("[case broken]\nsuch.thing = 3 psi\n", with.out);
    fclose(with.out);
    file.text = with.text;
    file.length = with.size;
    options.n_settings = n;
    ck_assert_int_eq(fc_compare(&file, 1, &options, &comparison), FC_OK);
    ck_assert_uint_eq(comparison->n_buildings, 2 * n + 2);
    ck_assert_uint_eq(comparison->n_broken, 1);
    ck_assert(!comparison->buildings[n + 1].calculated);
    ck_assert_uint_eq(comparison->buildings[n + 1].n_errors, 1);
    checked = check_text(text);
    compared_as(&comparison->buildings[0], checked.result);
    checked_end(&checked);
    for (size_t i = 0; i < n; i++) {
        snprintf(heading, sizeof heading, "[%s%s%s]",
                 kind_word(chosen[i].part), *chosen[i].part->name ? " " : "",
                 chosen[i].part->name);
        by_hand = edited(text, heading, values[chosen[i].value].key,
                         values[chosen[i].value].value);
        checked = check_text(by_hand);
        compared_as(&comparison->buildings[1 + i], checked.result);
        compared_as(&comparison->buildings[2 + n + i], checked.result);
        checked_end(&checked);
        free(by_hand);
    }
    fc_comparison_free(comparison);
    free(with.text);
    free(text);
    fc_site_free(site);
    building_free(&b);
    gsl_rng_free(rng);
}
END_TEST

/* ---- A flow test -------------------------------------------------------- */

/* A main of another day: with the drop of the day of its test, unless the test
 * itself is set. */
START_TEST(test_of_its_day)
{
    static const char text[] =
        "[source main]\nkind = street main\nstatic = 70 psi\n"
        "residual = 50 psi\nresidual flow = 60 gpm\n"
        "[pipe p]\nfrom = main\nsize = 2 in\nmaterial = copper L\n"
        "length = 40 ft\nrise = 20 ft\n"
        "[fixture x]\non = p\nkind = water closet, flush valve\n";
    static const struct {
        const char *settings[2];
        size_t n, told;
        const char *test; /* written beside */
    } rows[] = {
        { { "main.static=60 psi" }, 1, 2, "70 psi" },
        { { "main.static=60 psi; main.test static=65 psi" }, 1, 2, "65 psi" },
        { { "main.static=60 psi; main.residual=50 psi" }, 1, 2, NULL },
        { { "main.residual flow=60gpm", "main.static=60 psi" }, 2, 2, NULL },
    };
    char *now = edited(text, "[source main]", "static", "60 psi");
    char *by_hand = rows[_i].test ? edited(now, "[source main]", "test static",
                                           rows[_i].test)
                                  : NULL;
    fc_site *set = read_text(text, rows[_i].settings, rows[_i].n);
    fc_site *written = read_text(by_hand ? by_hand : now, NULL, 0);

    same_texts(set, written);
    same_data(set, written, rows[_i].told);
    fc_site_free(set);
    fc_site_free(written);
    free(by_hand);
    free(now);
}
END_TEST

TCase *
change_of_settings(void)
{
    TCase *t = tcase_create("settings");

    tcase_set_timeout(t, 60);
    tcase_add_sampled_test(t, generated, usual(40, 80));
    tcase_add_sampled_test(t, compared, usual(10, 30));
    tcase_add_test(t, typical_floors);
    tcase_add_test(t, without);
    tcase_add_test(t, only_with_it);
    tcase_add_loop_test(t, refused, 0, COUNT(refusals));
    tcase_add_test(t, of_calls);
    tcase_add_test(t, told);
    tcase_add_loop_test(t, test_of_its_day, 0, 4);
    return t;
}
