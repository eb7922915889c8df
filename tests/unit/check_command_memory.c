/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_command_memory.c -- whole commands while memory runs out.
 *
 * Each command is run in a child, again and again, as it is typed, with one
 * allocation after the other made to fail.  It must end with status 2, a
 * message, nothing on standard output and the file of --output as it was; or
 * with all that it gives undisturbed, where it did without that memory.
 *
 * A command allocates up to some thousands of times, at some hundred places:
 * for each where no command before came by it, or a ninth of them (but for
 * `make check-long`: for all), the first is made to fail, now and then with
 * all others from then on, and limits on the bytes in use stand in for what a
 * machine does.  The library's own tests (check_allocation and others) fail
 * every one of its allocations.
 */
#define _GNU_SOURCE /* MAP_ANONYMOUS */
#undef main /* that of the command is renamed: see tests/Makefile.inc */
#include "unit/allocation.h"
#include "unit/suite.h"

#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define MOST_PLACES 4000
#define LIMITS 6

int main_of_command(int argc, char **argv);

/* Work stays in the one thread whose allocations are counted. */
int
pthread_create(pthread_t *thread, const pthread_attr_t *how,
               void *(*run)(void *), void *data)
{
    (void)thread, (void)how, (void)run, (void)data;
    return EAGAIN;
}

/* ---- What is run ------------------------------------------------------ */

static char folder[] = "/tmp/flushcalc-memory.XXXXXX";

static const char site_text[] =
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = street main\nstatic = 58..64 psi\n"
    "flow test = 55 psi at 200 gpm\n"
    "[meter m]\nfrom = main\nkind = displacement\nsize = 2 in\n"
    "[pipe riser]\nfrom = m\nsize = 2 in\nlength = 40..60 ft\n"
    "[pipe branch]\nfrom = riser\nsize = %s\nlength = 12 ft\n"
    "[fixture wc]\non = branch\nkind = water closet, flush valve\n"
    "count = 2\nretrofit = sensor\n"
    "[fixture lav]\non = riser\nkind = lavatory\n"
    "[valve sensor]\nminimum flowing = 25 psi\nfull flush = 1.28 gal\n"
    "flow = 25 gpm at 25 psi\n"
    "[usage]\npeople = 20..30\n"
    "[reading one]\nat = wc\npressure = 40 psi\nopen = 1 of wc\n"
    "[claim one]\nfixture = wc\nflowing = 30 psi\nwhile = 2 of wc\n"
    "[case low]\nmain.static = 57 psi\n";

/* OUT becomes --output and a file. */
#define OUT "OUT"
#define NEW "new.ini" /* there only when all went well */
#define MOST_WORDS 12

static const struct {
    const char *words[MOST_WORDS];
} commands[] = {
    { { "check", "site.ini", OUT } },
    { { "check", "site.ini", "--full" } },
    { { "check", "site.ini", "--format=json", OUT } },
    { { "check", "site.ini", "--format=html", OUT } },
    { { "check", "site.ini", "other.ini" } },
    { { "check", "site.ini", "--sweep", "main.static=58..70 psi/2", OUT } },
    { { "check", "site.ini", "--set", "main.static=57 psi", "--format=csv" } },
    { { "path", "site.ini", "wc", OUT } },
    { { "flush", "site.ini", "wc:2" } },
    { { "diagnose", "site.ini", OUT } },
    { { "diagnose", "site.ini", "--sheet" } },
    { { "verify", "site.ini" } },
    { { "verify", "site.ini", "--record", OUT } },
    { { "size", "choose.ini", OUT } },
    { { "size", "site.ini", "--remedy" } },
    { { "size", "choose.ini", "--write", NEW } },
    { { "size", "amended.ini", "--write", "folder/" NEW } },
    { { "compare", "site.ini", OUT } },
    { { "effects", "site.ini" } },
    { { "quick", "main=52", "up=16ft", OUT } },
    { { "quick", "main=52", "up=16ft", "--write", NEW } },
    { { "new", "stories=2" } },
    { { "size", "cured.ini", "--remedy", "--full" } },
    { { "size", "uncured.ini", "--remedy", "--format=html" } },
    { { "size", "bought.ini", "--remedy", "--format=json" } },
    { { "size", "bought.ini", "--remedy", "--pick=1", "--write", NEW } },
    { { "size", "priced.ini", "--full" } },
    { { "size", "unsized.ini" } },
    { { "effects", "farm-school.ini", "--format=html" } },
    { { "effects", "school.ini", "--full" } },
    { { "diagnose", "diagnosed.ini", "--full" } },
    { { "diagnose", "diagnosed.ini", "--format=html" } },
    { { "diagnose", "diagnosed.ini", "--sheet", "--full" } },
    { { "verify", "claimed.ini", "--full" } },
    { { "verify", "near.ini", "--record" } },
    { { "check", "tank.ini", "--format=html" } },
    { { "check", "shared.ini", "unknown.ini", "ceiling.ini" } },
    { { "compare", "works.ini", "ceiling.ini", "--full" } },
    { { "check", "works.ini", "--sweep", "feed.pressure=58..70 psi/2",
        "--full" } },
    { { "tables", "copper L", OUT } },
    { { "tables", "pipes", "--format=csv" } },
    { { "tables" } },
    { { "--help" } },
    { { "--schema" } },
};

#define OLD "yesterday's report\n"

static void
put_file(const char *name, const char *text)
{
    FILE *file = fopen(name, "w");

    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    ck_assert_int_eq(fclose(file), 0);
}

static char *
take_file(const char *name)
{
    FILE *file = fopen(name, "r");
    char *text = calloc(1, 1 << 20);

    ck_assert_ptr_nonnull(file);
    ck_assert_ptr_nonnull(text);
    ck_assert_uint_lt(fread(text, 1, 1 << 20, file), 1 << 20);
    fclose(file);
    return text;
}

/* ---- One run ---------------------------------------------------------- */

struct outcome {
    int status;
    char *out, *errors, *output;
};

/* What the child counted. */
static struct counted {
    size_t calls, failures, bytes;
    size_t places[MOST_PLACES], n_places;
} * counted;

static void
outcome_free(struct outcome *o)
{
    free(o->out);
    free(o->errors);
    free(o->output);
}

static char *
argv_of(int command, char **argv)
{
    static char output[] = "--output=out";
    int n = 0;

    argv[n++] = (char *)(uintptr_t) "flushcalc";
    for (int i = 0; i < MOST_WORDS && commands[command].words[i]; i++)
        argv[n++] = strcmp(commands[command].words[i], OUT) == 0
                        ? output
                        : (char *)(uintptr_t)commands[command].words[i];
    argv[n] = NULL;
    return argv[0];
}

enum how { ALL_IS_WELL, ONE_FAILS, ALL_FAIL_FROM, ALL_FAIL_ABOVE };

static _Noreturn void
child(int command, enum how how, size_t n)
{
    char *argv[MOST_WORDS + 2];
    int argc = 0, status;

    argv_of(command, argv);
    while (argv[argc])
        argc++;
    if (!freopen("stdout", "w", stdout) || !freopen("stderr", "w", stderr))
        _exit(99);
    alarm(120);
    if (how == ONE_FAILS)
        allocation_fail_once(n);
    else if (how == ALL_FAIL_FROM)
        allocation_fail_from(n);
    else if (how == ALL_FAIL_ABOVE)
        allocation_fail_above(n);
    else
        allocation_note_places(counted->places, MOST_PLACES);
    status = main_of_command(argc, argv);
    counted->calls = allocation_calls();
    counted->failures = allocation_failures();
    counted->bytes = allocation_bytes();
    counted->n_places = allocation_places();
    allocation_fail_never();
    exit(status); /* as it is where main returns */
}

static struct outcome
run(int command, enum how how, size_t n)
{
    struct outcome o = { 0 };
    int status;
    pid_t pid;

    put_file("out", OLD);
    unlink(NEW);
    unlink("folder/" NEW);
    memset(counted, 0, sizeof *counted);
    pid = fork();
    if (pid == 0)
        child(command, how, n);
    ck_assert_int_gt(pid, 0);
    ck_assert_int_eq(waitpid(pid, &status, 0), pid);
    ck_assert_msg(WIFEXITED(status), "%s, allocation %zu: signal %d",
                  commands[command].words[0], n, WTERMSIG(status));
    o.status = WEXITSTATUS(status);
    o.out = take_file("stdout");
    o.errors = take_file("stderr");
    o.output = take_file("out");
    return o;
}

/* ---- The commands ----------------------------------------------------- */

/* As it is undisturbed, or refused for want of memory. */
static void
try(int command, enum how how, size_t n, const struct outcome *good)
{
    struct outcome o = run(command, how, n);
    const char *name = commands[command].words[0];
    const bool same = o.status == good->status && strcmp(o.out, good->out) == 0
                      && strcmp(o.output, good->output) == 0;

    if (!same) {
        ck_assert_msg(o.status == 2,
                      "%s, allocation %zu (%d): status %d, expected %d or 2; "
                      "%s",
                      name, n, how, o.status, good->status, o.errors);
        ck_assert_msg(!*o.out, "%s, allocation %zu (%d): printed \"%s\"", name,
                      n, how, o.out);
        ck_assert_msg(strcmp(o.output, OLD) == 0,
                      "%s, allocation %zu (%d): the file is \"%s\"", name, n,
                      how, o.output);
        ck_assert_msg(access(NEW, F_OK) != 0
                          && access("folder/" NEW, F_OK) != 0,
                      "%s, allocation %zu (%d): a file is left", name, n, how);
        ck_assert_msg(*o.errors && o.errors[strlen(o.errors) - 1] == '\n',
                      "%s, allocation %zu (%d): says \"%s\"", name, n, how,
                      o.errors);
        ck_assert_msg(strstr(o.errors, "memory") != NULL,
                      "%s, allocation %zu (%d): says \"%s\"", name, n, how,
                      o.errors);
    }
    ck_assert_msg(!strstr(o.out, "(null)") && !strstr(o.errors, "(null)")
                      && !strstr(o.output, "(null)"),
                  "%s, allocation %zu (%d): (null)", name, n, how);
    outcome_free(&o);
}

/* Of tests/cases and examples. */
static const char *const cases[] = {
    "tests/cases/cured.ini",   "tests/cases/uncured.ini",
    "tests/cases/bought.ini",  "tests/cases/priced.ini",
    "tests/cases/unsized.ini", "tests/cases/diagnosed.ini",
    "tests/cases/claimed.ini", "tests/cases/near.ini",
    "tests/cases/tank.ini",    "tests/cases/shared.ini",
    "tests/cases/unknown.ini", "tests/cases/ceiling.ini",
    "tests/cases/works.ini",   "examples/farm-school.ini",
    "examples/school.ini",
};
#define N_CASES (sizeof cases / sizeof *cases)

START_TEST(command)
{
    struct outcome good;
    struct counted whole;
    const size_t step = allocation_step(9);
    size_t bytes = 0;

    if (usual(_i == 0, 1))
        allocation_forget_places();
    good = run(_i, ALL_IS_WELL, 0);
    whole = *counted;
    ck_assert_msg(good.status != 2, "%s: %s", commands[_i].words[0],
                  good.errors);
    ck_assert_msg(*good.out || strcmp(good.output, OLD) != 0,
                  "%s tells nothing", commands[_i].words[0]);
    ck_assert(_i > 0 || whole.n_places > 500);
    ck_assert_uint_lt(whole.n_places, MOST_PLACES);
    for (size_t k = 0; k < whole.n_places; k += step)
        try(_i, k / step % 5 == 4 ? ALL_FAIL_FROM : ONE_FAILS, whole.places[k],
            &good);
    for (size_t k = 0; k < LIMITS; k++) {
        bytes = ((size_t)8 << 10) << 2 * k; /* 8 KiB to 8 MiB */
        try(_i, ALL_FAIL_ABOVE, bytes, &good);
    }
    outcome_free(&good);
}
END_TEST

static void
copy_case(const char *top, const char *from)
{
    char path[4096], *text;

    snprintf(path, sizeof path, "%s/%s", top, from);
    text = take_file(path);
    put_file(strrchr(from, '/') + 1, text);
    free(text);
}

static void
clean_up(void)
{
    static const char *const names[] = {
        "site.ini",   "choose.ini", "amended.ini", "other.ini", "out",
        "tables.ini", "stdout",     "stderr",      NEW,         "folder/" NEW,
    };

    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        unlink(names[i]);
    for (size_t i = 0; i < N_CASES; i++)
        unlink(strrchr(cases[i], '/') + 1);
    rmdir("folder");
    if (chdir("/") == 0)
        rmdir(folder); /* what else is left there keeps it */
}

/* A temporary file of an interrupted write would be left there. */
START_TEST(nothing_left)
{
    clean_up();
    ck_assert_int_ne(access(folder, F_OK), 0);
}
END_TEST

START_TEST(set_up)
{
    const char *source = getenv("srcdir");
    char *top = realpath(source ? source : ".", NULL);
    static char text[sizeof site_text + 20], amended[sizeof text + 30];

    setenv("SOURCE_DATE_EPOCH", "1700000000", 1);
    counted = mmap(NULL, sizeof *counted, PROT_READ | PROT_WRITE,
                   MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    ck_assert(counted != MAP_FAILED);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    ck_assert_int_eq(chdir(folder), 0);
    snprintf(text, sizeof text, site_text, "1-1/2 in");
    put_file("site.ini", text);
    snprintf(text, sizeof text, site_text, "choose");
    put_file("choose.ini", text);
    snprintf(amended, sizeof amended, "[site]\ntables = tables.ini\n%s",
             text + strlen("[site]\n"));
    put_file("amended.ini", amended);
    put_file("tables.ini",
             "[pipe copper L]\nsource = invented\nc aged = 120\n");
    ck_assert_int_eq(mkdir("folder", 0777), 0);
    ck_assert_ptr_nonnull(top);
    for (size_t i = 0; i < N_CASES; i++)
        copy_case(top, cases[i]);
    free(top);
    snprintf(text, sizeof text, site_text, "2 in");
    put_file("other.ini", text);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("command memory");
    TCase *t = tcase_create("commands");

    tcase_set_timeout(t, 600);
    tcase_add_test(t, set_up);
    tcase_add_loop_test(t, command, 0,
                        (int)(sizeof commands / sizeof *commands));
    tcase_add_test(t, nothing_left);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
