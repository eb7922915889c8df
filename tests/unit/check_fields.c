/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_fields.c -- the keys of a section read into a struct. */
#include "ini/fields.h"
#include "generators/sites.h"

#include <stddef.h>

/* One of each type.  `claim` stands first, as the type that reads a claim's
 * `while` fills its struct by name. */
struct all {
    fc_claim claim;
    const char *text, *name;
    fc_range figure, range, share, positive;
    int count;
    fc_answer answer;
    fc_source_kind choice;
    fc_loss loss;
    const fc_point *points;
    size_t n_points;
    fc_range flow, at_pressure, fall, at_flow, filled, in_time;
    const fc_fitting *fittings;
    size_t n_fittings;
    const char *const *names;
    size_t n_names;
    const fc_flushing *flushing;
    size_t n_flushing;
    fc_deviation off;
    fc_range size;
    bool choose;
    int said;
    bool is_said;
};

static const char *const words[] = { "street main", "tank", "fixed", NULL };

#define FIELD(k, t, d, f)                                                     \
    .key = (k), .type = (t), .dimension = (d), .domain = FCI_ANY,             \
    .offset = offsetof(struct all, f)
#define SECOND(f) .second = offsetof(struct all, f)

static const struct fci_field fields[] = {
    { FIELD("text", &fci_text_field, FC_NUMBER, text) },
    { FIELD("name", &fci_name_field, FC_NUMBER, name) },
    { FIELD("figure", &fci_figure_field, FC_LENGTH, figure) },
    { FIELD("range", &fci_range_field, FC_PRESSURE, range) },
    { FIELD("count", &fci_count_field, FC_NUMBER, count) },
    { FIELD("answer", &fci_yes_no_field, FC_NUMBER, answer) },
    { FIELD("said", &fci_said_choice_field, FC_NUMBER, said), .choices = words,
      SECOND(is_said) },
    { FIELD("choice", &fci_choice_field, FC_NUMBER, choice), .choices = words,
      .second = FC_STREET_MAIN },
    { FIELD("loss", &fci_loss_field, FC_PRESSURE, loss) },
    { FIELD("points", &fci_points_field, FC_FLOW, points), SECOND(n_points),
      .second_dimension = FC_LENGTH },
    { FIELD("flow", &fci_figure_at_field, FC_FLOW, flow), SECOND(at_pressure),
      .second_dimension = FC_PRESSURE },
    { FIELD("fall", &fci_figure_at_field, FC_PRESSURE, fall), SECOND(at_flow),
      .second_dimension = FC_FLOW },
    { FIELD("filled", &fci_figure_at_field, FC_VOLUME, filled),
      SECOND(in_time), .second_dimension = FC_TIME },
    { FIELD("fittings", &fci_fittings_field, FC_NUMBER, fittings),
      SECOND(n_fittings) },
    { FIELD("names", &fci_names_field, FC_NUMBER, names), SECOND(n_names) },
    { FIELD("flushing", &fci_flushing_field, FC_NUMBER, flushing),
      SECOND(n_flushing) },
    { FIELD("off", &fci_deviation_field, FC_PRESSURE, off) },
    { FIELD("size", &fci_size_or_choose_field, FC_SIZE, size),
      SECOND(choose) },
    { FIELD("while", &fci_while_field, FC_NUMBER, claim.flushing),
      SECOND(claim.n_flushing) },
    { FIELD("left alone", &fci_skip_field, FC_NUMBER, text) },
};

struct reading {
    struct fci_ini ini;
    struct fci_arena arena;
    fc_diagnostics *messages;
    struct all all;
    fc_status status;
};

/* The section `[thing x]` with these lines. */
static void
read_lines(struct reading *r, const char *lines)
{
    char text[1024];

    memset(r, 0, sizeof *r);
    r->messages = fc_diagnostics_new();
    snprintf(text, sizeof text, "[thing x]\n%s\n", lines);
    ck_assert_int_eq(
        fci_ini_read_text(&r->ini, text, strlen(text), "t.ini", r->messages),
        FC_OK);
    r->status = fci_fields_read(fields, sizeof fields / sizeof *fields,
                                &r->ini.sections[0], "t.ini", &r->arena,
                                &r->all, r->messages);
}

static void
end_reading(struct reading *r)
{
    fc_diagnostics_free(r->messages);
    fci_arena_free(&r->arena);
    fci_ini_free(&r->ini);
}

static void
read_well(struct reading *r, const char *lines)
{
    read_lines(r, lines);
    ck_assert_msg(r->status == FC_OK, "%s", all_messages(r->messages));
    ck_assert_uint_eq(fc_diagnostics_count(r->messages), 0);
}

static void
assert_range(fc_range r, double low, double high)
{
    ck_assert(r.given);
    ck_assert_double_eq_tol(r.low, low, 1e-9 * (1 + high));
    ck_assert_double_eq_tol(r.high, high, 1e-9 * (1 + high));
}

/* ---- What is understood ------------------------------------------------ */

START_TEST(words_and_figures)
{
    struct reading r;

    read_well(&r, "text = A b, c\nname = wc-1\nfigure = 12 ft 6 in\n"
                  "range = 55..62 psi\ncount = 12\nanswer = YES\n"
                  "choice = Tank\nleft alone = what \"ever\"");
    ck_assert_str_eq(r.all.text, "A b, c");
    ck_assert_str_eq(r.all.name, "wc-1");
    assert_range(r.all.figure, 12.5 * FOOT, 12.5 * FOOT);
    assert_range(r.all.range, 55 * PSI, 62 * PSI);
    ck_assert_int_eq(r.all.count, 12);
    ck_assert_int_eq(r.all.answer, FC_YES);
    ck_assert_int_eq(r.all.choice, FC_TANK);
    end_reading(&r);
    read_well(&r, "answer = no\nchoice = street main\ncount = 1000000");
    ck_assert_int_eq(r.all.answer, FC_NO);
    ck_assert_int_eq(r.all.choice, FC_STREET_MAIN);
    ck_assert_int_eq(r.all.count, 1000000);
    ck_assert(!r.all.figure.given);
    end_reading(&r);
}
END_TEST

START_TEST(losses)
{
    struct reading r;

    read_well(&r, "loss = 5..7 psi");
    ck_assert_int_eq(r.all.loss.kind, FC_CONSTANT_LOSS);
    assert_range(r.all.loss.pressure, 5 * PSI, 7 * PSI);
    end_reading(&r);
    read_well(&r, "loss = 5..7 psi at 40 gpm");
    ck_assert_int_eq(r.all.loss.kind, FC_SQUARE_LOSS);
    assert_range(r.all.loss.pressure, 5 * PSI, 7 * PSI);
    assert_range(r.all.loss.flow, 40 * GPM, 40 * GPM);
    end_reading(&r);
    read_well(&r, "loss = 0 gpm 10 psi, 40 gpm 11.5 psi,80 gpm 14 psi");
    ck_assert_int_eq(r.all.loss.kind, FC_CURVE_LOSS);
    ck_assert_uint_eq(r.all.loss.n_points, 3);
    ck_assert_double_eq_tol(r.all.loss.points[2].x, 80 * GPM, 1e-12);
    ck_assert_double_eq_tol(r.all.loss.points[1].y, 11.5 * PSI, 1e-6);
    end_reading(&r);
}
END_TEST

START_TEST(pairs_and_points)
{
    struct reading r;

    read_well(&r, "points = 0 gpm 95 ft, 60 gpm 84 ft\n"
                  "flow = 24..26 gpm at 25 psi\nfall = 6 psi at 60 gpm\n"
                  "filled = 59 oz in 5 s\n"
                  "size = 3/4 in .. 1 in\noff = 10 %");
    ck_assert_uint_eq(r.all.n_points, 2);
    ck_assert_double_eq_tol(r.all.points[1].x, 60 * GPM, 1e-12);
    ck_assert_double_eq_tol(r.all.points[1].y, 84 * FOOT, 1e-9);
    assert_range(r.all.flow, 24 * GPM, 26 * GPM);
    assert_range(r.all.at_pressure, 25 * PSI, 25 * PSI);
    assert_range(r.all.fall, 6 * PSI, 6 * PSI);
    assert_range(r.all.at_flow, 60 * GPM, 60 * GPM);
    assert_range(r.all.filled, 59.0 / 128 * GALLON, 59.0 / 128 * GALLON);
    assert_range(r.all.in_time, 5, 5);
    assert_range(r.all.size, 0.75 * INCH, INCH);
    ck_assert(!r.all.choose);
    ck_assert(r.all.off.given && r.all.off.is_fraction);
    ck_assert_double_eq_tol(r.all.off.amount, 0.1, 1e-12);
    end_reading(&r);
    read_well(&r, "size = choose\noff = 2 psi");
    ck_assert(r.all.choose);
    ck_assert(!r.all.size.given);
    ck_assert(r.all.off.given && !r.all.off.is_fraction);
    ck_assert_double_eq_tol(r.all.off.amount, 2 * PSI, 1e-6);
    end_reading(&r);
}
END_TEST

START_TEST(lists)
{
    struct reading r;

    read_well(&r, "fittings = 2 elbow 90, 1 tee branch,3 gate valve\n"
                  "names = lav-1 ,lav-2\n"
                  "flushing = wc-1, 3 of wc-2\nwhile = 2 of wc-3");
    ck_assert_uint_eq(r.all.n_fittings, 3);
    ck_assert_int_eq(r.all.fittings[0].count, 2);
    ck_assert_str_eq(r.all.fittings[0].name, "elbow 90");
    ck_assert_int_eq(r.all.fittings[2].count, 3);
    ck_assert_str_eq(r.all.fittings[2].name, "gate valve");
    ck_assert_uint_eq(r.all.n_names, 2);
    ck_assert_str_eq(r.all.names[0], "lav-1");
    ck_assert_str_eq(r.all.names[1], "lav-2");
    ck_assert_uint_eq(r.all.n_flushing, 2);
    ck_assert_int_eq(r.all.flushing[0].count, 0); /* the whole group */
    ck_assert_str_eq(r.all.flushing[0].fixture, "wc-1");
    ck_assert_int_eq(r.all.flushing[1].count, 3);
    ck_assert_str_eq(r.all.flushing[1].fixture, "wc-2");
    ck_assert_int_eq(r.all.claim.condition, FC_WHILE_FLUSHING);
    ck_assert_uint_eq(r.all.claim.n_flushing, 1);
    ck_assert_int_eq(r.all.claim.flushing[0].count, 2);
    end_reading(&r);
    read_well(&r, "flushing = none\nwhile = peak");
    ck_assert_uint_eq(r.all.n_flushing, 0);
    ck_assert_int_eq(r.all.claim.condition, FC_WHILE_PEAK);
    end_reading(&r);
    read_well(&r, "while = alone");
    ck_assert_int_eq(r.all.claim.condition, FC_WHILE_ALONE);
    ck_assert_int_eq(r.all.is_said, 0);
    end_reading(&r);
    read_well(&r, "said = street main"); /* the first word, which is 0 */
    ck_assert_int_eq(r.all.claim.condition, FC_WHILE_NOT_SAID);
    ck_assert_int_eq(r.all.said, 0);
    ck_assert_int_eq(r.all.is_said, 1);
    end_reading(&r);
    read_well(&r, "said = fixed");
    ck_assert_int_eq(r.all.said, 2);
    ck_assert_int_eq(r.all.is_said, 1);
    end_reading(&r);
}
END_TEST

/* ---- What is refused --------------------------------------------------- */

/* The message begins so, after "t.ini:2: [thing x] ". */
static const struct {
    const char *line, *said;
} wrongs[] = {
    { "figure = 12 gpm", "figure \"12 gpm\" is a flow; a length is " },
    { "figure = 12", "figure \"12\" " },
    { "figure = 5..6 ft", "figure \"5..6 ft\" is a range; " },
    { "range = 62 ft", "range \"62 ft\" is a length; a pressure is " },
    { "count = 0", "count \"0\"; a whole number from 1 to 1,000,000 is "
                   "expected" },
    { "count = 2.5", "count \"2.5\"; a whole number " },
    { "count = 1000001", "count \"1000001\"; a whole number " },
    { "count = two", "count \"two\"; a whole number " },
    { "answer = perhaps", "answer \"perhaps\"; yes or no is expected" },
    { "choice = well",
      "choice \"well\"; street main, tank or fixed is expected" },
    { "loss = 6 gpm", "loss \"6 gpm\" is a flow; a pressure is " },
    { "loss = 6 psi at 40 psi", "loss \"40 psi\" is a pressure; a flow is " },
    { "loss = 0 gpm 10 psi, 40 gpm", "loss " },
    { "loss = 0 gpm 10 psi, 40 gpm 11 psi 12 psi",
      "loss \"40 gpm 11 psi 12 psi\"; a flow and a pressure are expected for "
      "each point, such as 40 gpm 11.5 psi" },
    { "points = 0 gpm 95 ft, 60 gpm 84 ft x",
      "points \"60 gpm 84 ft x\"; a flow and a head are expected for each "
      "point, such as 60 gpm 84 ft" },
    { "points = 0 gpm 95 psi, 60 gpm 84 psi", "points \"95 psi\" is a "
                                              "pressure; a length is " },
    { "flow = 25 gpm", "flow \"25 gpm\"; a flow at a pressure is expected, "
                       "such as 25 gpm at 25 psi" },
    { "fall = 6 psi", "fall \"6 psi\"; a pressure at a flow is expected, such "
                      "as 6 psi at 60 gpm" },
    { "fall = 5..6 psi at 60 gpm", "fall \"5..6 psi\" is a range; " },
    { "filled = 59 oz", "filled \"59 oz\"; a volume in a time is expected, "
                        "such as 59 oz in 5 s" },
    { "filled = 59 oz at 5 s", "filled \"59 oz at 5 s\"; a volume in a " },
    { "filled = 59 psi in 5 s", "filled \"59 psi\" is a pressure; a volume " },
    { "filled = 59 oz in 5 psi", "filled \"5 psi\" is a pressure; a time " },
    { "filled = 1..2 gal in 5 s", "filled \"1..2 gal\" is a range; " },
    { "filled = 1 gal in 5..6 s", "filled \"5..6 s\" is a range; " },
    { "flow = 25 gpm at 25..30 psi", "flow \"25..30 psi\" is a range; " },
    { "fittings = elbow 90",
      "fittings \"elbow 90\"; a count and a fitting are expected, such as 2 "
      "elbow 90, separated by commas" },
    { "fittings = 2 elbow 90, 3", "fittings \"3\"; a count and a fitting " },
    { "fittings = 1.5 elbow 90", "fittings \"1.5 elbow 90\"; a count " },
    { "fittings = 0 elbow 90", "fittings \"0 elbow 90\"; a count " },
    { "fittings = -1 elbow 90", "fittings \"-1 elbow 90\"; a count " },
    { "names = a,, b",
      "names has an empty item; names separated by commas are expected" },
    { "names = a,", "names has an empty item; " },
    { "flushing = 3 wc-2",
      "flushing \"3 wc-2\"; fixtures are expected, such as wc-1, 3 of wc-2, "
      "or none" },
    { "flushing = wc 2", "flushing \"wc 2\"; fixtures are expected" },
    { "flushing = 3 of ,wc-1", "flushing \"3 of\"; fixtures are expected" },
    { "while = 3 wc", "while \"3 wc\"; fixtures are expected" },
    { "off = 5 gpm", "off \"5 gpm\" is a flow; " },
    { "size = 62 psi", "size \"62 psi\" is a pressure; a nominal size is " },
    { "lenght = 5 ft", "has no key \"lenght\"; its keys are text, name, " },
    { "chioce = tank", "has no key \"chioce\"; did you mean \"choice\"?" },
};

START_TEST(wrong)
{
    struct reading r;
    fc_diagnostic d;
    char want[256];

    read_lines(&r, wrongs[_i].line);
    ck_assert_int_eq(r.status, FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(r.messages), 1);
    d = fc_diagnostics_at(r.messages, 0);
    ck_assert_int_eq(d.severity, FC_FAIL);
    ck_assert_str_eq(d.file, "t.ini");
    ck_assert_int_eq(d.line, 2);
    snprintf(want, sizeof want, "[thing x] %s", wrongs[_i].said);
    ck_assert_msg(strncmp(d.text, want, strlen(want)) == 0, "%s\n%s", d.text,
                  want);
    end_reading(&r);
}
END_TEST

/* What was half read stands as not given; what stands beside it is read. */
START_TEST(half_read)
{
    struct reading r;

    read_lines(&r, "loss = 6 psi at 40 psi\nflow = 25 gpm at 25 gpm\n"
                   "filled = 1 gal in 5 gal\n"
                   "points = 0 gpm 95 ft, x\nfittings = 2 elbow 90, x\n"
                   "names = a,\nflushing = wc-1, 3 wc\nname = good");
    ck_assert_int_eq(r.status, FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(r.messages), 7);
    ck_assert_int_eq(r.all.loss.kind, FC_NO_LOSS);
    ck_assert(!r.all.filled.given && !r.all.in_time.given);
    ck_assert(!r.all.flow.given && !r.all.at_pressure.given);
    ck_assert_uint_eq(r.all.n_points, 0);
    ck_assert_uint_eq(r.all.n_fittings, 0);
    ck_assert_uint_eq(r.all.n_names, 0);
    ck_assert_uint_eq(r.all.n_flushing, 0);
    ck_assert_str_eq(r.all.name, "good");
    end_reading(&r);
}
END_TEST

/* ---- What is missing --------------------------------------------------- */

static const struct fci_field needed[] = {
    { FIELD("from", &fci_name_field, FC_NUMBER, name), .required = true },
    { FIELD("length", &fci_range_field, FC_LENGTH, range), .required = true },
    { FIELD("kind", &fci_choice_field, FC_NUMBER, choice), .choices = words,
      .second = FC_STREET_MAIN, .required = true },
    { FIELD("curve", &fci_points_field, FC_FLOW, points), SECOND(n_points),
      .second_dimension = FC_LENGTH, .required = true },
    { FIELD("note", &fci_text_field, FC_NUMBER, text) },
};

static const struct {
    const char *lines, *said;
} lacks[] = {
    { "from = a\nkind = tank\ncurve = 0 gpm 9 ft, 1 gpm 8 ft\n",
      "t.ini:1: [pump x] lacks \"length\"; a length is needed\n" },
    { "length = 1 ft\nkind = tank\ncurve = 0 gpm 9 ft, 1 gpm 8 ft\n",
      "t.ini:1: [pump x] lacks \"from\"; a name is needed\n" },
    { "from = a\nlength = 1 ft\ncurve = 0 gpm 9 ft, 1 gpm 8 ft\n",
      "t.ini:1: [pump x] lacks \"kind\"; street main, tank or fixed is "
      "needed\n" },
    /* not understood is not missing */
    { "from = a\nkind = tank\nlength = 3\ncurve = 0 gpm 9 ft, 1 gpm 8 ft\n",
      NULL },
    /* nor is a slip of the pen */
    { "form = a\nkind = tank\nlength = 3 ft\n"
      "curve = 0 gpm 9 ft, 1 gpm 8 ft\n",
      NULL },
};

START_TEST(missing)
{
    struct fci_ini ini = { 0 };
    struct fci_arena arena = { 0 };
    struct all all = { 0 };
    fc_diagnostics *messages = fc_diagnostics_new();
    char text[256];

    snprintf(text, sizeof text, "[pump x]\n%s", lacks[_i].lines);
    ck_assert_int_eq(
        fci_ini_read_text(&ini, text, strlen(text), "t.ini", messages), FC_OK);
    ck_assert_int_eq(fci_fields_read(needed, sizeof needed / sizeof *needed,
                                     &ini.sections[0], "t.ini", &arena, &all,
                                     messages),
                     FC_EINPUT);
    if (lacks[_i].said)
        ck_assert_str_eq(all_messages(messages), lacks[_i].said);
    else {
        ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
        ck_assert_ptr_null(strstr(all_messages(messages), "lacks"));
    }
    fc_diagnostics_free(messages);
    fci_arena_free(&arena);
    fci_ini_free(&ini);
}
END_TEST

START_TEST(heading)
{
    char name[300];

    ck_assert_str_eq(fci_heading("pipe", "riser-2").text, "[pipe riser-2]");
    ck_assert_str_eq(fci_heading("site", "").text, "[site]");
    memset(name, 'n', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    ck_assert_uint_eq(strlen(fci_heading("pipe", name).text), 120 + 7);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("fields");
    TCase *t = tcase_create("read");

    tcase_add_test(t, words_and_figures);
    tcase_add_test(t, losses);
    tcase_add_test(t, pairs_and_points);
    tcase_add_test(t, lists);
    suite_add_tcase(suite, t);
    t = tcase_create("refused");
    tcase_add_loop_test(t, wrong, 0, COUNT(wrongs));
    tcase_add_test(t, half_read);
    tcase_add_loop_test(t, missing, 0, COUNT(lacks));
    tcase_add_test(t, heading);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
