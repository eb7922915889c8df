/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_ask.c -- questions asked in turn, of files in the place of
 * a terminal. */
#include "shell/ask.h"
#include "unit/suite.h"

#include <string.h>

static bool
is_pressure(const struct question *question, const char *answer,
            fc_diagnostics *why)
{
    fc_range value;

    (void)question;
    return fc_parse(answer, FC_PRESSURE, &value, why) == FC_OK;
}

static bool
is_never(const struct question *question, const char *answer,
         fc_diagnostics *why)
{
    (void)question;
    (void)why;
    return strcmp(answer, "no") != 0;
}

static const struct question questions[] = {
    { "main", "Static pressure at the main", "psi", is_pressure, false },
    { "pipe", "Material", NULL, NULL, false },
    { "sure", "Sure", NULL, is_never, false },
};
#define N (sizeof questions / sizeof questions[0])

static const char opening[] =
    "Leave empty what is not known; Ctrl-D ends the questions.\n";

/* What is typed, what is taken ("" for not known), what is shown. */
static const struct {
    const char *typed, *taken[N], *shown;
} cases[] = {
    { "52 psi\n copper L \t\r\nyes\n",
      { "52 psi", "copper L", "yes" },
      "Static pressure at the main (psi): Material: Sure: \n" },
    { "\n   \n\n",
      { "", "", "" },
      "Static pressure at the main (psi): Material: Sure: \n" },
    { "52 psi\n",
      { "52 psi", "", "" },
      "Static pressure at the main (psi): Material: \n\n" },
    { "", { "", "", "" }, "Static pressure at the main (psi): \n\n" },
    { "52 psi",
      { "52 psi", "", "" },
      "Static pressure at the main (psi): Material: \n\n" },
    { "52\n52 gpm\n52 psi\n\nno\nNo\n",
      { "52 psi", "", "No" },
      "Static pressure at the main (psi):   \"52\" has no unit; a pressure "
      "is needed, such as 62 psi or 4.3 bar\n"
      "Static pressure at the main (psi):   \"52 gpm\" is a flow; a pressure "
      "is needed, such as 62 psi or 4.3 bar\n"
      "Static pressure at the main (psi): Material: Sure:   This cannot be "
      "taken.\nSure: \n" },
};

START_TEST(takes_and_shows)
{
    char *answers[N], *shown = NULL;
    size_t size = 0;
    FILE *from = tmpfile(), *to = open_memstream(&shown, &size);

    ck_assert(from && to);
    fputs(cases[_i].typed, from);
    rewind(from);
    ck_assert(ask(questions, N, answers, from, to));
    fclose(from);
    fclose(to);
    ck_assert_int_eq(strncmp(shown, opening, strlen(opening)), 0);
    ck_assert_str_eq(shown + strlen(opening), cases[_i].shown);
    for (size_t i = 0; i < N; i++)
        ck_assert_str_eq(answers[i] ? answers[i] : "", cases[_i].taken[i]);
    ask_free(answers, N);
    for (size_t i = 0; i < N; i++)
        ck_assert_ptr_null(answers[i]);
    free(shown);
}
END_TEST

/* What is needed is asked again, until the input ends. */
START_TEST(needed)
{
    static const struct question stories = { "stories", "Stories", NULL, NULL,
                                             true };
    static const char *const typed[] = { "\n  \n8\n", "\n" };
    static const char *const asked[] = {
        "Stories:   This one is needed.\nStories:   This one is needed.\n"
        "Stories: \n",
        "Stories:   This one is needed.\nStories: \n\n",
    };
    char *answer, *shown = NULL;
    size_t size = 0;
    FILE *from = tmpfile(), *to = open_memstream(&shown, &size);

    ck_assert(from && to);
    fputs(typed[_i], from);
    rewind(from);
    ck_assert(ask(&stories, 1, &answer, from, to));
    fclose(from);
    fclose(to);
    ck_assert_str_eq(shown + strlen(opening), asked[_i]);
    ck_assert_str_eq(answer ? answer : "", _i == 0 ? "8" : "");
    ask_free(&answer, 1);
    free(shown);
}
END_TEST

/* A zero byte would hide what follows it. */
START_TEST(zero_byte)
{
    static const char typed[] = "52 psi\0 and more\n52 psi\n";
    char *answers[1], *shown = NULL;
    size_t size = 0;
    FILE *from = tmpfile(), *to = open_memstream(&shown, &size);

    ck_assert(from && to);
    ck_assert_uint_eq(fwrite(typed, 1, sizeof typed - 1, from),
                      sizeof typed - 1);
    rewind(from);
    ck_assert(ask(questions, 1, answers, from, to));
    fclose(from);
    fclose(to);
    ck_assert_ptr_nonnull(strstr(shown, "  \""));
    ck_assert_str_eq(answers[0], "52 psi");
    ask_free(answers, 1);
    free(shown);
}
END_TEST

/* What cannot be read is told, and nothing is left. */
START_TEST(unreadable)
{
    char *answers[N], *shown = NULL;
    size_t size = 0;
    FILE *from = fopen(".", "r"), *to = open_memstream(&shown, &size);

    ck_assert(from && to);
    ck_assert(!ask(questions, N, answers, from, to));
    fclose(from);
    fclose(to);
    for (size_t i = 0; i < N; i++)
        ck_assert_ptr_null(answers[i]);
    free(shown);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("ask");
    TCase *tcase = tcase_create("ask");

    tcase_add_loop_test(tcase, takes_and_shows, 0,
                        sizeof cases / sizeof cases[0]);
    tcase_add_test(tcase, zero_byte);
    tcase_add_loop_test(tcase, needed, 0, 2);
    tcase_add_test(tcase, unreadable);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
