/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_hosts.c -- what a host of the library keeps: its error
 * handlers, its locale, its signals and files, and the right to fork while
 * other threads work.
 */
#include "generators/sites.h"
#include "ground/gsl_guard.h"
#include "unit/foreign_locales.h"

#include <dirent.h>
#include <errno.h>
#include <gsl/gsl_errno.h>
#include <iniparser/iniparser.h>
#include <pthread.h>
#include <sched.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdint.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* ---- All that the library does, as one text --------------------------- */

/* Curves, ranges, readings and claims, so that everything that GSL does for
 * the library is done. */
static const char text[] =
    "[site]\ntitle = Invented\nmaterial = copper L\n"
    "[source main]\nkind = street main\nstatic = 58.5..64.25 psi\n"
    "flow test = 50.5 psi at 200.5 gpm\n"
    "[meter m]\nfrom = main\nkind = displacement\nsize = 2 in\n"
    "[backflow b]\nfrom = m\nloss = 0 gpm 6 psi, 40 gpm 7 psi, 80 gpm 9 psi\n"
    "[pipe riser]\nfrom = b\nsize = 2 in\nlength = 40.5..60 ft\n"
    "[fixture wc]\non = riser\nkind = water closet, flush valve\ncount = 3\n"
    "retrofit = sensor\n"
    "[fixture lav]\non = riser\nkind = lavatory\n"
    "[valve sensor]\nminimum flowing = 25 psi\nflow = 25 gpm at 25 psi\n"
    "full flush = 1.28 gal\n"
    "[usage]\npeople = 20..30\n"
    "[reading one]\nat = wc\npressure = 41.5 psi\nflushing = 2 of wc\n"
    "[claim one]\nfixture = wc\nflowing = 30.25 psi\nwhile = 2 of wc\n";

static const fc_check_options one_thread = { .threads = 1, .most_states = 50 };

/* The report in all forms, behind what stands there. */
static void
put(fc_report *report, FILE *out)
{
    for (int form = FC_TEXT; form <= FC_JSON; form++) {
        char *written = NULL;

        ck_assert_int_eq(
            fc_report_write(report, (fc_form)form, NULL, &written, NULL, NULL),
            FC_OK);
        fputs(written, out);
        fc_free(written);
    }
    fc_report_free(report);
}

static void
judge(const fc_site *site, FILE *out)
{
    fc_report *report = NULL;
    fc_check_result *checked = NULL;
    fc_flush_result *flushed = NULL;
    fc_path *path = NULL;
    fc_effects *effects = NULL;

    ck_assert_int_eq(fc_check_with(site, &one_thread, &checked, NULL), FC_OK);
    ck_assert_int_eq(fc_report_check(site, checked, NULL, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(
        fc_path_find_with(site, "wc", FC_RETROFIT, &one_thread, &path, NULL),
        FC_OK);
    ck_assert_int_eq(fc_report_path(site, NULL, path, true, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(
        fc_flush(site, FC_RETROFIT, NULL, SIZE_MAX, &flushed, NULL), FC_OK);
    ck_assert_int_eq(fc_report_flush(site, flushed, true, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_int_eq(fc_report_effects(site, effects, &report), FC_OK);
    put(report, out);
    fc_effects_free(effects);
    fc_flush_result_free(flushed);
    fc_path_free(path);
    fc_check_result_free(checked);
}

static void
explain(const fc_site *site, FILE *out)
{
    const fc_size_options size = { .check = one_thread };
    const fc_verify_options verify = { .threads = 1, .draws = 100 };
    fc_report *report = NULL;
    fc_remedies *remedies = NULL;
    fc_diagnosis *diagnosis = NULL;
    fc_verify_result *verified = NULL;
    fc_sweep_result *sweep = NULL;

    ck_assert_int_eq(fc_remedies_find(site, &size, &remedies, NULL), FC_OK);
    ck_assert_int_eq(fc_report_remedies(site, remedies, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(fc_diagnose(site, NULL, &diagnosis, NULL), FC_OK);
    ck_assert_int_eq(fc_report_diagnosis(site, diagnosis, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(fc_verify(site, &verify, &verified, NULL), FC_OK);
    ck_assert_int_eq(fc_report_verify(site, verified, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(fc_sweep(site, "main.static=58.5..70 psi/2", &one_thread,
                              &sweep, NULL),
                     FC_OK);
    ck_assert_int_eq(fc_report_sweep(site, sweep, &report), FC_OK);
    put(report, out);
    fc_sweep_result_free(sweep);
    fc_verify_result_free(verified);
    fc_diagnosis_free(diagnosis);
    fc_remedies_free(remedies);
}

static void
answer(FILE *out)
{
    static const char *const figures[] = { "main=52.5", "one=31.25" };
    static const char *const answers[] = { "stories=2" };
    const fc_site_file files[] = {
        { .path = "a", .text = text, .length = sizeof text - 1 },
        { .path = "b", .text = "[no]\n", .length = 5 },
    };
    const fc_sites_options options = { .check = one_thread };
    fc_report *report = NULL;
    fc_quick_result *quick = NULL;
    fc_checked_sites *sites = NULL;
    fc_comparison *comparison = NULL;
    char *made = NULL;

    fc_diagnostics *said = fc_diagnostics_new();

    ck_assert_msg(fc_quick(figures, 1, FC_US, &quick, said) == FC_OK, "%s",
                  all_messages(said));
    fc_diagnostics_free(said);
    ck_assert_int_eq(fc_report_quick(quick, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(fc_starter_text(answers, 1, &made, NULL), FC_OK);
    fputs(made, out);
    ck_assert_int_eq(fc_check_sites(files, 2, &options, &sites), FC_OK);
    ck_assert_int_eq(fc_report_sites(sites, &report), FC_OK);
    put(report, out);
    ck_assert_int_eq(fc_compare(files, 2, &options, &comparison), FC_OK);
    ck_assert_int_eq(fc_report_compare(comparison, &report), FC_OK);
    put(report, out);
    fc_comparison_free(comparison);
    fc_checked_sites_free(sites);
    fc_free(made);
    fc_quick_free(quick);
}

/* To be freed. */
static char *
all_work(void)
{
    fc_site *site = site_of(text);
    char *made = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&made, &size);

    ck_assert_ptr_nonnull(out);
    judge(site, out);
    explain(site, out);
    answer(out);
    ck_assert_int_eq(fclose(out), 0);
    ck_assert_uint_gt(size, 10000);
    fc_site_free(site);
    return made;
}

/* Where two texts part. */
static void
same_text(const char *a, const char *b)
{
    size_t i = 0;

    while (a[i] && a[i] == b[i])
        i++;
    ck_assert_msg(a[i] == b[i], "\"%.60s\" and \"%.60s\"",
                  a + (i < 20 ? 0 : i - 20), b + (i < 20 ? 0 : i - 20));
}

/* ---- Handlers --------------------------------------------------------- */

static atomic_int gsl_errors, ini_errors;

static void
on_gsl_error(const char *reason, const char *file, int line, int number)
{
    (void)reason, (void)file, (void)line, (void)number;
    atomic_fetch_add(&gsl_errors, 1);
}

static int
on_ini_error(const char *format, ...)
{
    (void)format;
    atomic_fetch_add(&ini_errors, 1);
    return 0;
}

/* Bad files too, of which iniparser might complain. */
static void
read_bad_files(void)
{
    static const char *const bad[] = { "no section\n", "[a\n", "= 1\n", "" };
    fc_site *site = NULL;

    for (int i = 0; i < COUNT(bad); i++)
        ck_assert_int_eq(
            fc_site_read_text(bad[i], strlen(bad[i]), "a", &site, NULL),
            FC_EINPUT);
}

START_TEST(handlers)
{
    gsl_error_handler_t *before = gsl_set_error_handler(on_gsl_error);

    iniparser_set_error_callback(on_ini_error);
    free(all_work());
    read_bad_files();
    ck_assert_int_eq(atomic_load(&gsl_errors), 0);
    ck_assert_int_eq(atomic_load(&ini_errors), 0);
    ck_assert(gsl_set_error_handler(before) == on_gsl_error);
    ck_assert_ptr_null(iniparser_load("/nowhere/at all"));
    ck_assert_int_eq(atomic_load(&ini_errors), 1); /* it is the host's yet */
    iniparser_set_error_callback(NULL);
}
END_TEST

/* ---- Threads ---------------------------------------------------------- */

static atomic_bool stop;
static atomic_int rounds;

/* Reads, builds curves and draws, which all take the lock. */
static void *
keep_on(void *data)
{
    while (!atomic_load(&stop)) {
        fc_site *site = NULL;
        fc_check_result *checked = NULL;

        if (fc_site_read_text(text, sizeof text - 1, "a", &site, NULL) == FC_OK
            && fc_check_with(site, &one_thread, &checked, NULL) == FC_OK)
            atomic_fetch_add(&rounds, 1);
        fc_check_result_free(checked);
        fc_site_free(site);
    }
    return data;
}

#define N_THREADS 2

static void
start(pthread_t *threads)
{
    atomic_store(&stop, false);
    atomic_store(&rounds, 0);
    for (int i = 0; i < N_THREADS; i++)
        ck_assert_int_eq(pthread_create(&threads[i], NULL, keep_on, NULL), 0);
    while (atomic_load(&rounds) < N_THREADS)
        sched_yield();
}

static void
end(const pthread_t *threads)
{
    atomic_store(&stop, true);
    for (int i = 0; i < N_THREADS; i++)
        ck_assert_int_eq(pthread_join(threads[i], NULL), 0);
    ck_assert_int_ge(atomic_load(&rounds), N_THREADS);
}

/* Several threads give what one gives, and the handler is back. */
START_TEST(together)
{
    gsl_error_handler_t *before = gsl_set_error_handler(on_gsl_error);
    char *alone = all_work(), *beside;
    pthread_t threads[N_THREADS];

    start(threads);
    beside = all_work();
    end(threads);
    same_text(alone, beside);
    ck_assert(gsl_set_error_handler(before) == on_gsl_error);
    ck_assert_int_eq(atomic_load(&gsl_errors), 0);
    free(alone);
    free(beside);
}
END_TEST

/* What the child does; it has no way to say more than its status. */
static int
work_of_child(void)
{
    fc_site *site = NULL;
    fc_check_result *checked = NULL;
    gsl_error_handler_t *handler = gsl_set_error_handler(on_gsl_error);
    int status = handler == on_gsl_error ? 0 : 1;

    signal(SIGALRM, SIG_DFL);
    alarm(30); /* a child that waits for ever is killed */
    if (fc_site_read_text(text, sizeof text - 1, "a", &site, NULL) != FC_OK)
        status |= 2;
    else if (fc_check_with(site, &one_thread, &checked, NULL) != FC_OK)
        status |= 4;
    fc_check_result_free(checked);
    fc_site_free(site);
    return status;
}

#define CHILDREN 30

static void
child_works(void)
{
    const pid_t child = fork();
    int status = -1;

    if (child == 0)
        _exit(work_of_child());
    ck_assert_int_gt(child, 0);
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert_msg(WIFEXITED(status), "the child was killed by signal %d",
                  WTERMSIG(status));
    ck_assert_int_eq(WEXITSTATUS(status), 0);
}

/* While others hold the lock a child is made, again and again: it finds the
 * lock free and the host's handler in place.  A sanitizer has locks of its
 * own, which stay taken in a child where a thread held one: there it is not
 * tried. */
START_TEST(forking)
{
    gsl_error_handler_t *before = gsl_set_error_handler(on_gsl_error);
    pthread_t threads[N_THREADS];

    start(threads);
    for (int i = 0; i < CHILDREN; i++)
        child_works();
    end(threads);
    gsl_set_error_handler(before);
}
END_TEST

/* Holds the lock, with GSL's handler off, for so long that a child is made
 * meanwhile, unless that waits. */
static void *
hold(void *data)
{
    const struct timespec a_while = { 0, 200000000 };
    gsl_error_handler_t *host = fci_gsl_quiet();

    atomic_store(&stop, true);
    nanosleep(&a_while, NULL);
    fci_gsl_restore(host);
    return data;
}

START_TEST(forking_while_it_is_held)
{
    gsl_error_handler_t *before = gsl_set_error_handler(on_gsl_error);
    pthread_t holder;

    atomic_store(&stop, false);
    ck_assert_int_eq(pthread_create(&holder, NULL, hold, NULL), 0);
    while (!atomic_load(&stop))
        sched_yield();
    child_works();
    ck_assert_int_eq(pthread_join(holder, NULL), 0);
    gsl_set_error_handler(before);
}
END_TEST

/* ---- The process ------------------------------------------------------ */

struct process {
    char folder[4096];
    mode_t mask;
    sigset_t blocked;
    struct sigaction actions[32];
    int files;
    char locale[256];
    char **environment;
};

static int
open_files(void)
{
    DIR *files = opendir("/proc/self/fd");
    int n = 0;

    ck_assert_ptr_nonnull(files);
    while (readdir(files))
        n++;
    closedir(files);
    return n;
}

extern char **environ;

static void
look(struct process *p)
{
    memset(p, 0, sizeof *p);
    ck_assert_ptr_nonnull(getcwd(p->folder, sizeof p->folder));
    p->mask = umask(022);
    umask(p->mask);
    ck_assert_int_eq(sigprocmask(SIG_SETMASK, NULL, &p->blocked), 0);
    for (int i = 1; i < 32; i++)
        sigaction(i, NULL, &p->actions[i]);
    p->files = open_files();
    snprintf(p->locale, sizeof p->locale, "%s", setlocale(LC_ALL, NULL));
    p->environment = environ;
}

START_TEST(process)
{
    struct process before, after;

    signal(SIGPIPE, SIG_DFL);
    umask(027);
    look(&before);
    free(all_work());
    read_bad_files();
    look(&after);
    ck_assert_str_eq(before.folder, after.folder);
    ck_assert_int_eq(after.mask, 027);
    ck_assert_mem_eq(&before.blocked, &after.blocked, sizeof before.blocked);
    for (int i = 1; i < 32; i++) {
        ck_assert(before.actions[i].sa_handler == after.actions[i].sa_handler);
        ck_assert_int_eq(before.actions[i].sa_flags,
                         after.actions[i].sa_flags);
    }
    ck_assert_int_eq(before.files, after.files);
    ck_assert_str_eq(before.locale, after.locale);
    ck_assert_ptr_eq(before.environment, after.environment);
    ck_assert_int_eq(waitpid(-1, NULL, WNOHANG), -1); /* no child is left */
    ck_assert_int_eq(errno, ECHILD);
}
END_TEST

/* ---- Locales ---------------------------------------------------------- */

/* Nothing is read or written otherwise where the decimal point is another. */
START_TEST(foreign_points)
{
    char *here = all_work(), *there;

    enter(_i);
    there = all_work();
    leave();
    unsetenv("LOCPATH");
    same_text(here, there);
    free(here);
    free(there);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("hosts");
    TCase *t = tcase_create("hosts");
    int failed;

    if (!mkdtemp(locales_folder)) {
        perror(locales_folder);
        return EXIT_FAILURE;
    }
    tcase_set_timeout(t, 300);
    tcase_add_test(t, process);
    tcase_add_test(t, handlers);
    for (int i = 0; i < COUNT(foreign); i++)
        if (has_locale(i))
            tcase_add_loop_test(t, foreign_points, i, i + 1);
    tcase_add_test(t, together);
    if (!SANITIZED) {
        tcase_add_test(t, forking);
        tcase_add_test(t, forking_while_it_is_held);
    }
    suite_add_tcase(suite, t);
    failed = run_suite_unforked(suite);
    remove_locales();
    return failed;
}
