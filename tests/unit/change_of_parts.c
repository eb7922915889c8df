/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_of_parts.c -- more than a value: parts added, and what is
 * written about it.
 */
#include "unit/change_outcomes.h"
#include "generators/change_sites.h"
#include "unit/change_suite.h"

#include <unistd.h>

static const struct fci_change pump_in_between[] = {
    { FCI_PUMP, "booster", "from", "riser-0", NULL },
    { FCI_PIPE, "riser-1", "from", "booster", NULL },
    { FCI_PUMP, "Booster", "curve", "0 gpm 95 ft, 60 gpm 84 ft, 120 gpm 60 ft",
      NULL },
};

START_TEST(pump_added)
{
    static const char by_hand_text[] =
        "[site]\nmaterial = copper L\ncondition = new\n"
        "[source main]\nkind = fixed\npressure = 40 psi\n"
        "[pipe riser-0]\nfrom = main\nsize = 2 in\nlength = 20 ft\n"
        "[pipe riser-1]\nfrom = booster\nsize = 2 in\nlength = 12 ft\n"
        "rise = 12 ft\n"
        "[pipe riser-{floor}]\nfloors = 2, 3\nfrom = riser-{floor-1}\n"
        "size = 2 in\nlength = 12 ft\nrise = 12 ft\n"
        "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
        "kind = water closet, flush valve\n"
        "[pump booster]\nfrom = riser-0\n"
        "curve = 0 gpm 95 ft, 60 gpm 84 ft, 120 gpm 60 ft\n";
    static const char expected[] =
        "; Boosted.\n"
        "\n"
        "[site]\nmaterial = copper L\ncondition = new\n"
        "[source main]\nkind = fixed\npressure = 40 psi\n"
        "[pipe riser-0]\nfrom = main\nsize = 2 in\nlength = 20 ft\n"
        "[pipe riser-1]\n"
        "from = booster ; was riser-0\n"
        "size = 2 in\n"
        "length = 12 ft\n"
        "rise = 12 ft\n"
        "\n"
        "[pipe riser-2]\n"
        "from = riser-1\n"
        "size = 2 in\n"
        "length = 12 ft\n"
        "rise = 12 ft\n"
        "\n"
        "[pipe riser-3]\n"
        "from = riser-2\n"
        "size = 2 in\n"
        "length = 12 ft\n"
        "rise = 12 ft\n"
        "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
        "kind = water closet, flush valve\n"
        "\n"
        "[pump booster] ; added\n"
        "from = riser-0\n"
        "curve = 0 gpm 95 ft, 60 gpm 84 ft, 120 gpm 60 ft\n"
        "\n";
    fc_site *site = site_of(small_text), *by_hand = site_of(by_hand_text);
    fc_site *changed = changed_site(site, pump_in_between, 3), *again;
    char *text = written(site, pump_in_between, 3, "Boosted.\n");

    same_sites(changed, by_hand, &at_peak, 0);
    ck_assert_str_eq(text, expected);
    again = site_of(text);
    same_sites(again, by_hand, &at_peak, 0);
    free(text);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(by_hand);
    fc_site_free(site);
}
END_TEST

START_TEST(comments)
{
    static const char expected[] = "[site]\n"
                                   "material = copper L\n"
                                   "; removed: condition = new\n"
                                   "title = \"A # b; c\" ; added\n"
                                   "[source main]\n"
                                   "kind = fixed\n"
                                   "pressure = 40 psi\n"
                                   "[pipe riser-0]\n"
                                   "from = main\n"
                                   "size = 3 in ; was 2 in\n"
                                   "length = 20 ft\n"
                                   "rise = 1 ft ; added\n"
                                   "[pipe riser-{floor}]\n"
                                   "floors = 1..3\n";
    const struct fci_change changes[] = {
        { FCI_PIPE, "riser-0", "size", "3 in", NULL },
        { FCI_PIPE, "riser-0", "rise", "1 ft", NULL },
        { FCI_SITE, NULL, "condition", NULL, NULL },
        { FCI_SITE, NULL, "title", "A # b; c", NULL },
        { FCI_SOURCE, "main", "pressure", "40 psi", NULL },
    };
    fc_site *site = site_of(small_text);
    char *text = written(site, changes, 5, NULL);

    ck_assert_uint_gt(strlen(text), strlen(expected));
    text[strlen(expected)] = '\0';
    ck_assert_str_eq(text, expected);
    free(text);
    fc_site_free(site);
}
END_TEST

/* Odd alignment, comments, white space, both line ends, a byte order mark, and
 * no end of the last line. */
static const char *const odd_files[] = {
    "; Of the house.\n\n  [ site ]   ; in all\n\n\tMaterial=copper L # \"L\"\n"
    "title   = \"A ; b\"   ; quoted\n\n\n"
    "[source  main] # street\nkind       = fixed\npressure   = 40 psi  ; "
    "gauge\n"
    ";size = 3 in\n[pipe p]\nfrom   = main\nsize   = 2 in    ; copper\n"
    "length = 20 ft  ; paced\n\n; below\n[fixture f]\non=p\nkind=lavatory",
    "\xef\xbb\xbf; Of the house.\r\n[site]\r\nmaterial = copper L\r\n"
    "title = \"A ; b\";c\r\n[source main]\r\nkind\xc2\xa0=\xc2\xa0"
    "fixed\r\n"
    "pressure = 40 psi\t; gauge\r\n[pipe p]\r\nfrom = main\r\n"
    "size = 2 in\r\nlength = 20 ft\r\n\r\n[fixture f-{floor}]\r\n"
    "floors = 1, 2 ; both\r\non = p\r\n; of one kind\r\nkind = lavatory\r\n",
};

START_TEST(unchanged)
{
    fc_site *site = site_of(odd_files[_i]);
    char *text = written(site, NULL, 0, NULL);

    ck_assert_str_eq(text, odd_files[_i]);
    free(text);
    fc_site_free(site);
}
END_TEST

static const char *const odd_files_changed[] = {
    "; Higher.\n\n"
    "; Of the house.\n\n  [ site ]   ; in all\n\n\tMaterial=copper L # \"L\"\n"
    "title   = A         ; quoted ; was A ; b\n\n\n"
    "[source  main] # street\nkind       = fixed\n"
    "pressure   = 140 psi ; gauge ; was 40 psi\n"
    ";size = 3 in\n[pipe p]\nfrom   = main\n"
    "size   = 1-1/2 in ; copper ; was 2 in\n"
    "length = 20 ft  ; paced\n"
    "rise   = 1 ft ; added\n"
    "\n; below\n[fixture f]\non=p\nkind=lavatory\n"
    "\n[valve v] ; added\nminimum flowing = 30 psi\n\n",
    "\xef\xbb\xbf; Higher.\r\n\r\n"
    "; Of the house.\r\n[site]\r\nmaterial = copper L\r\n"
    "title = A      ;c ; was A ; b\r\n"
    "[source main]\r\nkind\xc2\xa0=\xc2\xa0"
    "fixed\r\n"
    "pressure = 140 psi\t; gauge ; was 40 psi\r\n[pipe p]\r\nfrom = main\r\n"
    "size = 1-1/2 in ; was 2 in\r\nlength = 20 ft\r\n"
    "rise = 1 ft ; added\r\n\r\n[fixture f-{floor}]\r\n"
    "floors = 1, 2 ; both\r\non = p\r\n; of one kind\r\nkind = lavatory\r\n"
    "\r\n[valve v] ; added\r\nminimum flowing = 30 psi\r\n\r\n",
};

START_TEST(changed_in_place)
{
    const struct fci_change changes[] = {
        { FCI_SITE, NULL, "title", "A", NULL },
        { FCI_SOURCE, "main", "pressure", "140 psi", NULL },
        { FCI_PIPE, "p", "size", "1-1/2 in", NULL },
        { FCI_PIPE, "p", "rise", "1 ft", NULL },
        { FCI_VALVE, "v", "minimum flowing", "30 psi", NULL },
    };
    fc_site *site = site_of(odd_files[_i]);
    fc_site *changed = changed_site(site, changes, 5), *again;
    char *text = written(site, changes, 5, "Higher.");

    ck_assert_str_eq(text, odd_files_changed[_i]);
    again = site_of(text);
    same_sites(again, changed, &at_peak, 0);
    free(text);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
}
END_TEST

/* A typical floor of which one is changed: each gets a section with all its
 * comments. */
START_TEST(typical_floor_changed)
{
    static const char typical[] =
        "[site]\nmaterial = copper L\n[source main]\nkind = fixed\n"
        "pressure = 40 psi\n\n; the way up\n"
        "[pipe riser-{floor}] ; a piece a floor\n"
        "floors = 1, 2      ; both alike\n"
        "; paced, not taped\nfrom   = stub-{floor-1}\n"
        "length = 12 ft     ; from the plan\nsize   = 2 in\n"
        "; and the stubs\n"
        "[pipe stub-0]\nfrom = main\nsize = 2 in\nlength = 1 ft\n"
        "[pipe stub-1]\nfrom = riser-1\nsize = 2 in\nlength = 1 ft\n"
        "[fixture f]\non = riser-2\nkind = lavatory\n";
    static const char expected[] =
        "; the way up\n"
        "[pipe riser-1] ; a piece a floor\n; both alike\n"
        "; paced, not taped\nfrom   = stub-0\n"
        "length = 12 ft     ; from the plan\nsize   = 2 in\n"
        "\n"
        "[pipe riser-2] ; a piece a floor\n; both alike\n"
        "; paced, not taped\nfrom   = stub-1\n"
        "length = 12 ft     ; from the plan\nsize   = 3 in ; was 2 in\n"
        "; and the stubs\n[pipe stub-0]\n";
    const struct fci_change change = { FCI_PIPE, "riser-2", "size", "3 in",
                                       NULL };
    fc_site *site = site_of(typical), *again;
    fc_site *changed = changed_site(site, &change, 1);
    char *text = written(site, &change, 1, NULL), *way;

    way = strstr(text, "; the way up\n");
    ck_assert_ptr_nonnull(way);
    ck_assert_uint_gt(strlen(way), strlen(expected));
    again = site_of(text);
    way[strlen(expected)] = '\0';
    ck_assert_str_eq(way, expected);
    same_sites(again, changed, &at_peak, 0);
    free(text);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
}
END_TEST

/* A figure, a curve and a whole part put in are what their texts are. */
START_TEST(figures)
{
    const fc_point points[] = { { 0, 30 }, { 2e-3, 28 } };
    const fc_source source = { .pressure = fc_exactly(280e3) };
    const fc_pump pump = {
        .name = "booster", .from = "main", .curve = points, .n_curve = 2
    };
    const struct fci_change put[] = {
        { FCI_SOURCE, "main", "pressure", NULL, &source },
        { FCI_PUMP, NULL, NULL, NULL, &pump },
        { FCI_PIPE, "riser-0", "from", "booster", NULL },
        { FCI_PUMP, "booster", "curve", NULL, &pump },
    };
    const struct fci_change told[] = {
        { FCI_SOURCE, "main", "pressure", "280 kPa", NULL },
        { FCI_PUMP, "booster", "from", "main", NULL },
        { FCI_PUMP, "booster", "curve", "0 L/s 30 m, 2 L/s 28 m", NULL },
        { FCI_PIPE, "riser-0", "from", "booster", NULL },
    };
    fc_site *site = site_of(small_text), *again, *twice;
    fc_site *by_figures = changed_site(site, put, 4);
    fc_site *by_texts = changed_site(site, told, 4);

    same_sites(by_figures, by_texts, &at_peak, 0);
    twice = changed_site(by_figures, NULL, 0);
    same_sites(twice, by_texts, &at_peak, 0);
    again = read_written(site, put, 4);
    same_sites(again, by_texts, &at_peak, 0);
    fc_site_free(again);
    fc_site_free(twice);
    fc_site_free(by_texts);
    fc_site_free(by_figures);
    fc_site_free(site);
}
END_TEST

/* A line of a site file may be 1,000 bytes long: a comment that has no room
 * is left out, and a space too where it must be. */
#define TITLE_KEY 8 /* "title = " */
#define LONGEST_TITLE (1000 - (TITLE_KEY - 2))

START_TEST(long_lines)
{
    const size_t lengths[] = { 400, 985, 992, 994 };
    const size_t n = lengths[_i];
    char old[LONGEST_TITLE + 1], now[LONGEST_TITLE + 1];
    const struct fci_change was = { FCI_SITE, NULL, "title", old, NULL };
    const struct fci_change is = { FCI_SITE, NULL, "title", now, NULL };
    const struct fci_change gone = { FCI_SITE, NULL, "title", NULL, NULL };
    fc_site *site = site_of(small_text), *titled, *again;
    char *text;

    memset(old, 'o', n);
    memset(now, 'n', n);
    old[n] = now[n] = '\0';
    titled = changed_site(site, &was, 1);
    text = written(titled, &is, 1, NULL);
    ck_assert_int_eq(strstr(text, " ; was o") != NULL,
                     TITLE_KEY + 2 * n + strlen(" ; was ") <= 1000);
    ck_assert_int_eq(strstr(text, "title=n") != NULL, TITLE_KEY + n > 1000);
    free(text);
    again = read_written(titled, &is, 1);
    ck_assert_str_eq(fc_site_title(again), now);
    fc_site_free(again);
    text = written(titled, &gone, 1, NULL);
    ck_assert_int_eq(strstr(text, "\n"
                                  "; removed: title = o")
                         != NULL,
                     strlen("; removed: ") + TITLE_KEY + n <= 1000);
    free(text);
    again = read_written(titled, &gone, 1);
    ck_assert_ptr_null(fc_site_title(again));
    fc_site_free(again);
    fc_site_free(titled);
    fc_site_free(site);
}
END_TEST

START_TEST(units_stay)
{
    fc_site *site = site_of(small_text), *changed, *again;

    fc_site_set_units(site, FC_SI);
    changed = changed_site(site, pump_in_between, 3);
    again = changed_site(changed, NULL, 0);
    ck_assert_int_eq(fc_site_units(changed), FC_SI);
    ck_assert_int_eq(fc_site_units(again), FC_SI);
    fc_site_free(again);
    again = read_written(site, NULL, 0); /* the file says nothing of it */
    ck_assert_int_eq(fc_site_units(again), FC_US);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
}
END_TEST

/* A tables file beside the site file is found by the changed site too. */
START_TEST(tables_beside)
{
    const struct fci_change changes[] = {
        { FCI_SITE, NULL, "tables", "amended.ini", NULL },
        { FCI_PIPE, "riser-0", "material", "odd tube", NULL },
        { FCI_PIPE, "riser-0", "fittings", NULL, NULL },
    };
    char folder[] = "/tmp/check_change-XXXXXX", path[64], amended[64];
    fc_site *site = NULL, *changed, *copy, *again;
    FILE *file;

    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/site.ini", folder);
    snprintf(amended, sizeof amended, "%s/amended.ini", folder);
    file = fopen(amended, "w");
    ck_assert_ptr_nonnull(file);
    fputs("[pipe odd tube]\nsource = invented\nfittings = soldered copper\nc "
          "new = 140\n"
          "c aged = 130\nroughness = 0.0015 mm\nvelocity limit = 8 ft/s\n"
          "2 in = 2.125 in x 0.1 in\n",
          file);
    ck_assert_int_eq(fclose(file), 0);
    file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(small_text, file);
    ck_assert_int_eq(fclose(file), 0);
    ck_assert_int_eq(fc_site_read(path, &site, NULL), FC_OK);
    changed = changed_site(site, changes, 3);
    fc_site_free(site);
    copy = changed_site(changed, NULL, 0);
    again = read_written(changed, NULL, 0);
    ck_assert_str_eq(copy->elements[1].pipe->material->head.name, "odd tube");
    same_sites(changed, copy, &at_peak, 0);
    same_sites(changed, again, &at_peak, 0);
    fc_site_free(again);
    fc_site_free(copy);
    fc_site_free(changed);
    unlink(path);
    unlink(amended);
    rmdir(folder);
}
END_TEST

TCase *
change_of_parts(void)
{
    TCase *t = tcase_create("more than a value");

    tcase_add_test(t, pump_added);
    tcase_add_test(t, comments);
    tcase_add_loop_test(t, unchanged, 0, COUNT(odd_files));
    tcase_add_loop_test(t, changed_in_place, 0, COUNT(odd_files));
    tcase_add_test(t, typical_floor_changed);
    tcase_add_test(t, figures);
    tcase_add_loop_test(t, long_lines, 0, 4);
    tcase_add_test(t, units_stay);
    tcase_add_test(t, tables_beside);
    return t;
}
