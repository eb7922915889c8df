/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_terminal.c -- the command as somebody types it: how wide
 * and in which colors a terminal gets what it prints, questions, progress.
 *
 * The terminal is a pair of pseudo terminals without echo, whose other end
 * types before the command begins, and reads what it printed.
 */
#define _XOPEN_SOURCE 700
#define _DEFAULT_SOURCE /* the size of a window */
#include "shell/progress.h"
#include "unit/suite.h"

#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#define MOST_OUTPUT 1000000
#define COUNT(array) (sizeof(array) / sizeof *(array))

static const char site_text[] =
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = street main\nstatic = 58..64 psi\n"
    "flow test = 55 psi at 200 gpm\n"
    "[pipe riser]\nfrom = main\nsize = 2 in\nlength = 40..60 ft\n"
    "[fixture wc]\non = riser\nkind = water closet, flush valve\n"
    "count = 2\nretrofit = sensor\n"
    "[valve sensor]\nminimum flowing = 25 psi\nfull flush = 1.28 gal\n"
    "flow = 25 gpm at 25 psi\n";

/* ---- A terminal -------------------------------------------------------- */

static void
open_terminal(int *far, int *near, unsigned short columns)
{
    const struct winsize size = { .ws_row = 50, .ws_col = columns };
    struct termios how;

    *far = posix_openpt(O_RDWR | O_NOCTTY);
    ck_assert_int_ge(*far, 0);
    ck_assert_int_eq(grantpt(*far), 0);
    ck_assert_int_eq(unlockpt(*far), 0);
    *near = open(ptsname(*far), O_RDWR | O_NOCTTY);
    ck_assert_int_ge(*near, 0);
    ck_assert_int_eq(ioctl(*near, TIOCSWINSZ, &size), 0);
    ck_assert_int_eq(tcgetattr(*near, &how), 0);
    how.c_lflag &= ~(tcflag_t)ECHO;
    how.c_oflag &= ~(tcflag_t)OPOST;
    ck_assert_int_eq(tcsetattr(*near, TCSANOW, &how), 0);
}

/* All that arrives until nobody has the near end. */
static char *
read_terminal(int far)
{
    char *text = calloc(1, MOST_OUTPUT);
    size_t n = 0;
    ssize_t more = 1;

    ck_assert_ptr_nonnull(text);
    while (more > 0 && n + 1 < MOST_OUTPUT) {
        more = read(far, text + n, MOST_OUTPUT - 1 - n);
        n += more > 0 ? (size_t)more : 0;
    }
    close(far);
    return text;
}

/* The words behind the name of the command, which end with NULL. */
struct typed {
    const char *words[8];
    const char *answers; /* what is typed; "" */
    const char *term, *no_color;
    unsigned short columns;
};

static void
set(const char *name, const char *value)
{
    if (value)
        setenv(name, value, 1);
    else
        unsetenv(name);
}

static _Noreturn void
become(const struct typed *typed, int near)
{
    const char *command = getenv("FLUSHCALC");
    char *argv[COUNT(typed->words) + 1] = { "flushcalc" };

    for (size_t i = 0; typed->words[i]; i++)
        argv[i + 1] = (char *)(uintptr_t)typed->words[i];
    set("TERM", typed->term);
    set("NO_COLOR", typed->no_color);
    dup2(near, STDIN_FILENO);
    dup2(near, STDOUT_FILENO);
    dup2(near, STDERR_FILENO);
    execv(command ? command : "", argv);
    _exit(127);
}

/* What it prints on its terminal, to be freed. */
static char *
run(const struct typed *typed, int *status)
{
    int far, near, ended;
    char *text;
    pid_t child;

    open_terminal(&far, &near, typed->columns);
    ck_assert_int_eq(write(far, typed->answers, strlen(typed->answers)),
                     (ssize_t)strlen(typed->answers));
    child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0)
        become(typed, near);
    close(near);
    text = read_terminal(far);
    ck_assert_int_eq(waitpid(child, &ended, 0), child);
    ck_assert(WIFEXITED(ended));
    *status = WEXITSTATUS(ended);
    return text;
}

/* ---- How wide ---------------------------------------------------------- */

/* In characters, of which those are not counted that only continue one. */
static size_t
longest_line(const char *text)
{
    size_t longest = 0, length = 0;

    for (; *text; text++)
        if (*text == '\n')
            length = 0;
        else if (((unsigned char)*text & 0xc0) != 0x80 && ++length > longest)
            longest = length;
    return longest;
}

static char folder[] = "/tmp/flushcalc-terminal.XXXXXX";

static void
enter_folder(void)
{
    FILE *file;

    strcpy(strrchr(folder, '.'), ".XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    file = fopen("site.ini", "w");
    ck_assert_ptr_nonnull(file);
    fputs(site_text, file);
    ck_assert_int_eq(fclose(file), 0);
}

static void
leave_folder(void)
{
    unlink("site.ini");
    ck_assert_int_eq(chdir("/"), 0);
    ck_assert_int_eq(rmdir(folder), 0);
}

/* One column is left free; no narrower than 59, no wider than 131; 79 where
 * the terminal does not say (cli/flushcalc.1).  The tables of a full report
 * are wider than 59, and a brief one has no line of 131. */
static const struct {
    unsigned short columns;
    size_t width;
    const char *how;
} widths[] = { { 0, 79, NULL },        { 1, 79, NULL },
               { 20, 59, NULL },       { 60, 59, NULL },
               { 61, 60, NULL },       { 80, 79, "--full" },
               { 100, 99, "--full" },  { 132, 131, "--full" },
               { 133, 131, "--full" }, { 400, 131, "--full" } };

START_TEST(report)
{
    const struct typed typed = { .words = { "check", "site.ini",
                                            widths[_i].how },
                                 .answers = "",
                                 .columns = widths[_i].columns };
    int status;
    char *text = run(&typed, &status);
    const size_t longest = longest_line(text);

    ck_assert_int_ne(status, 2);
    ck_assert_msg(longest <= widths[_i].width, "%u columns: %zu",
                  typed.columns, longest);
    /* no word that would have had room is longer than this */
    ck_assert_msg(longest + 12 > widths[_i].width, "%u columns: only %zu",
                  typed.columns, longest);
    free(text);
}
END_TEST

/* The help is as set, 79 columns wide, and wraps where the terminal has
 * less. */
START_TEST(help)
{
    static const struct typed helps[] = {
        { .words = { "check", "--help" }, .answers = "", .columns = 40 },
        { .words = { "check", "--help" }, .answers = "", .columns = 200 },
    };
    static const char *const words[] = { "--format", "--output", "Exit",
                                         "status" };
    int status;
    char *text = run(&helps[_i], &status);
    const size_t longest = longest_line(text);

    ck_assert_int_eq(status, 0);
    ck_assert_uint_le(longest, _i == 0 ? 39 : 79);
    ck_assert_uint_gt(longest, _i == 0 ? 30 : 60);
    for (size_t i = 0; i < COUNT(words); i++)
        ck_assert_msg(strstr(text, words[i]), "lacks %s", words[i]);
    free(text);
}
END_TEST

/* ---- Colors ------------------------------------------------------------ */

static const struct {
    const char *term, *no_color;
    bool colored;
} colors[] = {
    { "xterm", NULL, true }, { "xterm", "", true }, { "xterm", "1", false },
    { "dumb", NULL, false }, { "", NULL, false },   { NULL, NULL, false },
};

START_TEST(color)
{
    const struct typed typed = { .words = { "check", "site.ini" },
                                 .answers = "",
                                 .term = colors[_i].term,
                                 .no_color = colors[_i].no_color,
                                 .columns = 80 };
    int status;
    char *text = run(&typed, &status);

    ck_assert_int_ne(status, 2);
    ck_assert_int_eq(strchr(text, '\033') != NULL, colors[_i].colored);
    free(text);
}
END_TEST

/* ---- Questions --------------------------------------------------------- */

/* What is typed, and the words that say the same.  Ctrl-D is 4. */
static const struct {
    struct typed asked, told;
} questions[] = {
    /* pressure at the main, height, then nothing more */
    { { .words = { "quick" },
        .answers = "52 psi\n16 ft\n\004",
        .columns = 80 },
      { .words = { "quick", "main=52 psi", "up=16 ft" }, .answers = "" } },
    /* a slip is asked again */
    { { .words = { "quick" },
        .answers = "fifty\n52 psi\n16 ft\n\004",
        .columns = 80 },
      { .words = { "quick", "main=52 psi", "up=16 ft" }, .answers = "" } },
    { { .words = { "new" }, .answers = "\n8\n\004", .columns = 80 },
      { .words = { "new", "stories=8" }, .answers = "" } },
};

START_TEST(question)
{
    static const char opening[] =
        "Leave empty what is not known; Ctrl-D ends the questions.\n";
    struct typed told = questions[_i].told;
    int status[2];
    char *texts[2], *end;

    told.columns = questions[_i].asked.columns;
    texts[0] = run(&questions[_i].asked, &status[0]);
    texts[1] = run(&told, &status[1]);
    ck_assert_int_ne(status[0], 2);
    ck_assert_int_eq(status[0], status[1]);
    ck_assert_int_eq(strncmp(texts[0], opening, strlen(opening)), 0);
    end = strstr(texts[0], texts[1]);
    ck_assert_msg(end && strcmp(end, texts[1]) == 0, "%s\ninstead of\n%s",
                  texts[0], texts[1]);
    ck_assert_int_eq(strncmp(end - 2, "\n\n", 2), 0);
    free(texts[0]);
    free(texts[1]);
}
END_TEST

/* ---- Progress ---------------------------------------------------------- */

/* What is told on a terminal of these calls, the calculation having begun so
 * many seconds ago. */
static char *
told_of(const double *done, size_t n, int ago, bool terminal)
{
    struct progress progress;
    const int errors = dup(STDERR_FILENO);
    int far, near;

    open_terminal(&far, &near, 80);
    fflush(stderr);
    dup2(near, STDERR_FILENO);
    close(near);
    if (!terminal)
        dup2(errors, STDERR_FILENO);
    progress_start(&progress);
    progress.start.tv_sec -= ago;
    for (size_t i = 0; i < n; i++)
        progress_show(&progress, done[i]);
    progress_wipe(&progress);
    progress_wipe(&progress); /* nothing more to wipe */
    fflush(stderr);
    dup2(errors, STDERR_FILENO);
    close(errors);
    return read_terminal(far);
}

static const struct {
    double done[4];
    size_t n;
    int ago;
    bool terminal;
    const char *shown;
} progresses[] = {
    { { -1.0, 0.104, 0.109, 1.5 },
      4,
      2,
      true,
      "\rflushcalc: calculating,   0%\rflushcalc: calculating,  10%"
      "\rflushcalc: calculating, 100%\r                            \r" },
    { { 0.5 },
      1,
      2,
      true,
      "\rflushcalc: calculating,  50%\r                            \r" },
    { { 0.5 }, 1, 0, true, "" },  /* it has not taken long */
    { { 0.5 }, 1, 2, false, "" }, /* nobody looks on */
    { { 0.5 }, 0, 2, true, "" },
};

START_TEST(progress_is_told)
{
    char *text = told_of(progresses[_i].done, progresses[_i].n,
                         progresses[_i].ago, progresses[_i].terminal);

    ck_assert_str_eq(text, progresses[_i].shown);
    free(text);
}
END_TEST

/* A bare chroot may have none. */
static bool
has_terminals(void)
{
    const int far = posix_openpt(O_RDWR | O_NOCTTY);
    int near = -1;

    if (far < 0)
        return false;
    if (grantpt(far) == 0 && unlockpt(far) == 0 && ptsname(far))
        near = open(ptsname(far), O_RDWR | O_NOCTTY);
    close(far);
    if (near >= 0)
        close(near);
    return near >= 0;
}

int
main(void)
{
    Suite *suite;
    TCase *t;

    if (!has_terminals()) {
        puts("1..0 # SKIP no pseudo terminal can be had");
        return EXIT_SUCCESS;
    }
    suite = suite_create("terminal");
    t = tcase_create("terminal");

    tcase_add_checked_fixture(t, enter_folder, leave_folder);
    tcase_add_loop_test(t, report, 0, (int)COUNT(widths));
    tcase_add_loop_test(t, help, 0, 2);
    tcase_add_loop_test(t, color, 0, (int)COUNT(colors));
    tcase_add_loop_test(t, question, 0, (int)COUNT(questions));
    tcase_add_loop_test(t, progress_is_told, 0, (int)COUNT(progresses));
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
