/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_page.c -- what a page has beside its report: head, foot,
 * inputs with their standing, folded rows, sources. */
#include "report/page_parts.h"
#include "generators/sites.h"
#include "page/figure.h"
#include "page/forms.h"
#include "page/screen.h"

/* ---- Alike rows as one ------------------------------------------------ */

static const struct fci_doc_column two[] = { { "a", "", FCI_LEFT, 1 },
                                             { "b", "", FCI_RIGHT, 0 } };

/* A table with one column of names, and what is left of it: "name=cell;..." */
static const char *
folded(const char *const *cells, size_t rule)
{
    static char text[600];
    struct fci_doc doc = { .forms = FCI_IN_ALL };
    struct fci_grid *grid = fci_doc_table(&doc, two, 2);
    size_t used = 0;

    for (; *cells; cells++) {
        if (rule > 0 && grid->n_cells == 2 * rule)
            fci_grid_rule(grid);
        fci_cell(grid, *cells);
    }
    fci_page_fold(grid, 1);
    ck_assert(!doc.failed);
    text[0] = '\0';
    for (size_t i = 0; i < grid->n_cells; i += 2)
        used +=
            (size_t)snprintf(text + used, sizeof text - used, "%s%s=%s;",
                             grid->rule > 0 && i == 2 * grid->rule ? "|" : "",
                             grid->cells[i].text, grid->cells[i + 1].text);
    fci_doc_free(&doc);
    return text;
}

#define FOLDED(rule, ...)                                                     \
    folded((const char *const[]){ __VA_ARGS__, NULL }, rule)

START_TEST(fold)
{
    ck_assert_str_eq(FOLDED(0, "riser", "1"), "riser=1;");
    ck_assert_str_eq(FOLDED(0, "wc-1", "1", "wc-2", "1", "wc-3", "1"),
                     "wc-1 to 3 (3 alike)=1;");
    /* two are both named; floors count down as well */
    ck_assert_str_eq(FOLDED(0, "wc-9", "1", "wc-8", "1"),
                     "wc-9 and 8 (2 alike)=1;");
    /* ten comes after nine */
    ck_assert_str_eq(FOLDED(0, "b9x", "1", "b10x", "1", "b11x", "1"),
                     "b9x to b11x (3 alike)=1;");
    /* what differs stays, where it stood */
    ck_assert_str_eq(
        FOLDED(0, "wc-1", "1", "lav-1", "1", "wc-2", "2", "lav-2", "1"),
        "wc-1=1;lav-1 and 2 (2 alike)=1;wc-2=2;");
    /* a gap is no row of floors, and no more are two numbers */
    ck_assert_str_eq(FOLDED(0, "wc-1", "1", "wc-3", "1", "wc-4", "1"),
                     "wc-1 and others (3 alike)=1;");
    ck_assert_str_eq(FOLDED(0, "wc-1-1", "1", "wc-1-2", "1", "wc-2-1", "1"),
                     "wc-1-1 and others (3 alike)=1;");
    /* names without a number */
    ck_assert_str_eq(FOLDED(0, "east", "1", "west", "1"), "east=1;west=1;");
}
END_TEST

/* ---- What nobody may miss --------------------------------------------- */

/* A margin that is not zero never looks like it. */
START_TEST(margins)
{
    static const struct {
        double psi;
        const char *margin, *with_sign, *said;
    } told[] = {
        { 0, "0.0", "0.0", "0.0 psi" },
        { 2, "2.0", "+2.0", "2.0 psi" },
        { -3.04, "-3.0", "-3.0", "3.0 psi" },
        { 0.04, "0.04", "+0.04", "0.04 psi" },
        { -0.04, "-0.04", "-0.04", "0.04 psi" },
        { -0.0003, "-0.0003", "-0.0003", "0.0003 psi" },
    };

    for (size_t i = 0; i < sizeof told / sizeof *told; i++) {
        const double si = told[i].psi * PSI;

        ck_assert_str_eq(fci_figure_margin(FC_US, FC_PRESSURE, si).text,
                         told[i].margin);
        ck_assert_str_eq(fci_figure_signed(FC_US, FC_PRESSURE, si).text,
                         told[i].with_sign);
        ck_assert_str_eq(fci_figure_margin_said(FC_US, FC_PRESSURE, si).text,
                         told[i].said);
    }
}
END_TEST

/* What a screen has no room for is named, once; what has nothing to show is
 * not missed. */
START_TEST(no_room)
{
    struct fci_doc doc = { .forms = FCI_IN_ALL };

    fci_screen_if(&doc, false, "an empty list");
    fci_screen_on(&doc);
    fci_screen_say_left(&doc);
    ck_assert_ptr_null(doc.last);
    fci_screen_if(&doc, false, "the budget");
    fci_doc_heading(&doc, "Budget");
    fci_doc_say(&doc, "all of it");
    ck_assert_uint_eq(doc.last->forms, FCI_IN_ALL & ~FCI_IN_BRIEF);
    fci_screen_if(&doc, false, "the notes");
    fci_doc_say(&doc, "a note");
    fci_screen_on(&doc);
    fci_screen_say_left(&doc);
    ck_assert_str_eq(doc.last->text,
                     "No room here for the budget, the notes: see --full.");
    ck_assert_uint_eq(doc.last->forms, FCI_IN_ALL);
    fci_doc_free(&doc);
}
END_TEST

/* In a narrow table a word is whole where the columns allow it. */
START_TEST(whole_words)
{
    static const struct fci_doc_column columns[] = { { "", "", FCI_LEFT, 4 },
                                                     { "", "", FCI_LEFT, 4 } };
    const fc_report_options options = { .width = 40, .terminal = true };
    struct fci_doc doc = { .forms = FCI_IN_ALL, .options = &options };
    struct fci_grid *grid = fci_doc_table(&doc, columns, 2);
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);

    fci_cell(grid, "uncommonlylongword");
    fci_cell(grid, "some short words that go on and on");
    ck_assert(fci_text_form(&doc, out));
    fclose(out);
    ck_assert_ptr_nonnull(strstr(text, "uncommonlylongword"));
    for (const char *line = text; *line; line += strcspn(line, "\n") + 1)
        ck_assert_uint_le(strcspn(line, "\n"), 40);
    free(text);
    fci_doc_free(&doc);
}
END_TEST

/* A table on a terminal of that many columns, to be freed. */
static char *
narrow_table(const struct fci_doc_column *columns, const char *const *cells,
             size_t n, unsigned width)
{
    const fc_report_options options = { .width = width, .terminal = true };
    struct fci_doc doc = { .forms = FCI_IN_ALL, .options = &options };
    struct fci_grid *grid = fci_doc_table(&doc, columns, 3);
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);

    for (size_t i = 0; i < n; i++)
        fci_cell(grid, cells[i]);
    ck_assert(fci_text_form(&doc, out));
    fclose(out);
    fci_doc_free(&doc);
    return text;
}

/* A name is cut at a hyphen only where a column has no room for it; headings
 * take two lines before. */
START_TEST(whole_names)
{
    static const struct fci_doc_column columns[] = {
        { "at", "", FCI_LEFT, 4 },
        { "open", "", FCI_LEFT, 4 },
        { "gauge +/-", "psi", FCI_RIGHT, 0 },
    };
    static const char *const cells[] = {
        "wc-3-left", "both of women-wc-3-left", "2.0", "wc-4", "nothing",
        "12.0",
    };
    static const char *const longer[] = {
        "women-wc-3-left",
        "both of women-wc-3-left",
        "2.0",
    };
    char *text = narrow_table(columns, cells, 6, 40);

    ck_assert_str_eq(text, "  at         open              gauge +/-\n"
                           "                                     psi\n"
                           "  wc-3-left  both of                 2.0\n"
                           "             women-wc-3-left\n"
                           "  wc-4       nothing                12.0\n");
    free(text);
    text = narrow_table(columns, longer, 3, 40);
    ck_assert_str_eq(text, "                                   gauge\n"
                           "  at              open               +/-\n"
                           "                                     psi\n"
                           "  women-wc-3-left both of            2.0\n"
                           "                  women-wc-3-left\n");
    free(text);
}
END_TEST

/* A rule stands where it stood, and nothing is folded across. */
START_TEST(fold_with_rule)
{
    ck_assert_str_eq(
        FOLDED(2, "wc-1", "1", "wc-2", "1", "wc-3", "1", "in all", "3"),
        "wc-1 and 2 (2 alike)=1;|wc-3=1;in all=3;");
}
END_TEST

/* ---- Pages ------------------------------------------------------------ */

static char *
page_of(fc_site *site)
{
    const fc_check_options options = { .peak_only = true };
    fc_check_result *result = NULL;
    fc_report *report = NULL;
    char *page = NULL;

    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    ck_assert_int_eq(fc_report_check(site, result, NULL, &report), FC_OK);
    ck_assert_int_eq(fc_report_write(report, FC_HTML, NULL, &page, NULL, NULL),
                     FC_OK);
    fc_report_free(report);
    fc_check_result_free(result);
    fc_site_free(site);
    return page;
}

#define HEAD                                                                  \
    "[site]\n"                                                                \
    "material = steel sch 40\n"
#define REST                                                                  \
    "[fixture wc]\n"                                                          \
    "on = p\n"                                                                \
    "kind = water closet, flush valve\n"                                      \
    "count = 3\n"
#define MAIN                                                                  \
    "[source main]\n"                                                         \
    "kind = street main\n"                                                    \
    "static = 70..74 psi\n"
#define PIPE(from)                                                            \
    "[pipe p]\n"                                                              \
    "from = " from "\n"                                                       \
    "size = 2 in\n"                                                           \
    "length = 40 ft\n"

/* In the order of the page. */
static void
has_all(const char *page, const char *const *texts)
{
    for (; *texts; texts++) {
        const char *at = strstr(page, *texts);

        ck_assert_msg(at != NULL, "no %s", *texts);
        page = at + strlen(*texts);
    }
}

#define HAS(page, ...)                                                        \
    has_all(page, (const char *const[]){ __VA_ARGS__, NULL })

START_TEST(head)
{
    static const char text[] = "[site]\n"
                               "title = Two </style> \"halves\"\n"
                               "project number = 24-117\n"
                               "prepared by = <i>A & B\n"
                               "checked by = C\n"
                               "revision = 2\n"
                               "date = 2026-01-31\n"
                               "material = copper L\n" MAIN PIPE("main") REST;
    fc_site *site = site_of(text);
    char digest[80];
    char *page;

    snprintf(digest, sizeof digest, "SHA-256 %s", fc_site_digest(site));
    page = page_of(site);
    HAS(page,
        "content:\"\\2068 Two \\3c /style\\3e  \\22 halves\\22  | "
        "2026-01-31 | site file ",
        "<h1>Two &lt;/style&gt; &quot;halves&quot;</h1>",
        "<dt>Project no.</dt><dd>24-117</dd>",
        "<dt>Address</dt><dd>not given</dd>",
        "<dt>Prepared by</dt><dd>&lt;i&gt;A &amp; B</dd>",
        "<dt>Checked by</dt><dd>C</dd>", "<dt>Revision</dt><dd>2</dd>",
        "<dd>IPC: International Plumbing Code (ICC) 2018</dd>", digest,
        "Inputs: supply and equipment", "Inputs: pipes",
        "Inputs: flush valves", "Calculation sheet: sections", "Fixture table",
        "Cautions", "Sources of the table entries used", "<h2>Signatures</h2>",
        "Prepared by: &lt;i&gt;A &amp; B", "Checked by: C");
    ck_assert_ptr_null(strstr(page, "<i>"));
    fc_free(page);
}
END_TEST

/* A figure, how it is known and where that is from: of old steel pipe behind a
 * PRV and a preventer, on a main without a flow test. */
START_TEST(standing_of_usual)
{
    char *page = page_of(site_of(HEAD MAIN "[backflow rp]\n"
                                           "from = main\n"
                                           "loss = 9 psi at 100 gpm\n"
                                           "[reducer low]\n"
                                           "from = rp\n"
                                           "set = 60 psi\n" PIPE("low") REST));

    HAS(page, "<td>static</td><td>70 to 74 psi</td><td>range given</td>",
        "<td>flow test</td><td>none: how far the main drops is not "
        "known</td><td>not given</td>",
        "<td>backflow preventer rp</td><td>loss</td><td>9 psi at 100 "
        "gpm</td><td>given</td>",
        "<td>loss at other flows</td>",
        "<td>PRV low</td><td>set</td><td>60 psi</td><td>given</td>",
        /* [usual prv fall-off] and [usual prv wide open] of tables/usual.ini
         */
        "<td>fall-off</td><td>0.0 to 20.0 psi</td><td>usual range [",
        "<td>loss</td><td>0.0 to 10.0 psi</td><td>usual range [",
        "steel sch 40 [", "usual range, condition not given [",
        "for scale: usual range", "usual range, 20 to 75% of the length [",
        "generic class, assumed: no valve is named [", "usual prv fall-off",
        "usual prv wide open", "from memory");
    fc_free(page);
}
END_TEST

/* The same where all of it is given, and a tolerance widens it. */
START_TEST(standing_of_given)
{
    char *page = page_of(site_of(
        HEAD "[source main]\n"
             "kind = street main\n"
             "static = 70 psi\n"
             "residual = 60 psi\n"
             "residual flow = 300 gpm\n"
             "within = 0 psi\n"
             "[tolerance]\n"
             "pressure = 1 psi\n"
             "[meter meter]\n"
             "from = main\n"
             "kind = displacement\n"
             "size = 1 in\n" PIPE("meter") "c = 90..110\n"
                                           "fittings = none\n" REST
                                           "existing = own\n"
                                           "[valve own]\n"
                                           "minimum flowing = 20..25 psi\n"
                                           "flow = 25 gpm at 25 psi\n"
                                           "full flush = 1.6 gal\n"));

    /* 70 and 60 psi, 1 psi either way */
    HAS(page,
        "<td>static</td><td>70 psi</td><td>given, taken as 69.0 to 71.0 psi",
        "<td>residual</td><td>60 psi</td><td>given, taken as 59.0 to 61.0 psi",
        "<td>meter</td>",
        /* tables/meters.ini: 1 in = 12.75 .. 15 psi at 50 gpm */
        "<td>12.75 to 15 psi at 50 gpm</td><td>from the tables [",
        "<td>90 to 110: range given</td>", "<td>none, as given</td>",
        "<td>own</td>", "20.0..25.0", "<td>given</td>");
    ck_assert_ptr_null(strstr(page, "<td>usual range"));
    ck_assert_ptr_null(strstr(page, "generic class, "));
    fc_free(page);
}
END_TEST

/* By the IPC's table 10 units a closet: 3 of them 30, and a stated 4. */
START_TEST(fixtures)
{
    char *page = page_of(site_of(HEAD MAIN PIPE("main") REST
                                 "[fixture own]\n"
                                 "on = p\n"
                                 "kind = drinking fountain\n"
                                 "count = 2\n"
                                 "fixture units = 4\n"));

    HAS(page, "Fixture table",
        "<td>water closet, flush valve</td><td class=\"k\">public</td>"
        "<td class=\"r\">3</td><td class=\"r\">10.00</td>",
        "<td class=\"r\">30.00</td>", "tables [", "<td>drinking fountain</td>",
        "<td class=\"r\">8.00</td>", "<td class=\"k\">given</td>",
        "<td>in all</td>", "<td class=\"r\">5</td>",
        "<td class=\"r\">38.00</td>");
    fc_free(page);
}
END_TEST

/* ---- A large building ------------------------------------------------- */

#define FLOORS 40
#define BATTERIES 10
#define MOST_BYTES 2000000

static char *
tower(void)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    ck_assert_ptr_nonnull(out);
    fputs(HEAD "[source main]\nkind = fixed\npressure = 250 psi\n", out);
    for (int f = 1; f <= FLOORS; f++) {
        fprintf(out, "[pipe riser-%d]\nfrom = ", f);
        if (f > 1)
            fprintf(out, "riser-%d\n", f - 1);
        else
            fputs("main\n", out);
        fputs("size = 6 in\nlength = 11 ft\nrise = 11 ft\n", out);
        for (int b = 1; b <= BATTERIES; b++)
            fprintf(out,
                    "[pipe battery-%d-%d]\nfrom = riser-%d\nsize = 2 in\n"
                    "length = 20 ft\n"
                    "[fixture wc-%d-%d]\non = battery-%d-%d\n"
                    "kind = water closet, flush valve\ncount = 4\n",
                    f, b, f, f, b, f, b);
    }
    fclose(out);
    return text;
}

START_TEST(large)
{
    char *text = tower();
    char *page = page_of(site_of(text));
    const char *sheet = strstr(page, "Calculation sheet: sections");

    ck_assert_uint_lt(strlen(page), MOST_BYTES);
    ck_assert_ptr_nonnull(sheet);
    HAS(sheet, "<td>riser-1</td>",
        "<td>battery-1-1 and others (400 alike)</td>", "<td>riser-40</td>");
    fc_free(page);
    free(text);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("page");
    TCase *tc = tcase_create("page");

    tcase_add_test(tc, fold);
    tcase_add_test(tc, fold_with_rule);
    tcase_add_test(tc, margins);
    tcase_add_test(tc, no_room);
    tcase_add_test(tc, whole_words);
    tcase_add_test(tc, whole_names);
    tcase_add_test(tc, head);
    tcase_add_test(tc, standing_of_usual);
    tcase_add_test(tc, standing_of_given);
    tcase_add_test(tc, fixtures);
    tcase_add_test(tc, large);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
