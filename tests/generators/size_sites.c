/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/size_sites.c -- invented sites with pipes whose size is to
 * be chosen.
 */
#include "check/drawn.h"
#include "generators/size_sites.h"
#include "generators/sites.h"
#include "generators/sizing_trees.h"

#include <math.h>
#include <stdarg.h>
#include <unistd.h>

/* ---- Tables of one's own ---------------------------------------------- */

static char tables_path[] = "size-tables-XXXXXX";

static const char tables[] =
    "[pipe tube a]\nsource = invented for this test\n"
    "fittings = soldered copper\nc new = 140\nc aged = 120\n"
    "velocity limit = 9 ft/s\n"
    "3/4 in = bore 0.81 in\n1 in = bore 1.02 in\n1-1/4 in = bore 1.28 in\n"
    "1-1/2 in = bore 1.50 in\n2 in = bore 1.97 in\n"
    "[pipe tube b]\nsource = invented for this test\nfittings = threaded\n"
    "c new = 130\nc aged = 95\nvelocity limit = 12 ft/s\n"
    "1 in = bore 1.06 in\n1-1/2 in = bore 1.58 in\n2 in = bore 2.04 in\n"
    "2-1/2 in = bore 2.5 in\n"
    "[fixture ipc trough, flush valve]\nsource = invented for this test\n"
    "public = 5\nflushes = yes\nvalve = siphonic closet 3.5 gal\n";

static const struct offered tube_a = {
    .material = "tube a",
    .labels = { "3/4 in", "1 in", "1-1/4 in", "1-1/2 in", "2 in" },
    .inches = { 0.75, 1, 1.25, 1.5, 2 },
    .n = 5
};

static const struct offered tube_b = { .material = "tube b",
                                       .labels = { "1 in", "1-1/2 in", "2 in",
                                                   "2-1/2 in" },
                                       .inches = { 1, 1.5, 2, 2.5 },
                                       .n = 4 };

/* The sizes without a price are not offered. */
static const struct offered copper = {
    .material = "copper L",
    .labels = { "1 in", "1-1/4 in", "1-1/2 in", "2 in", "2-1/2 in" },
    .inches = { 1, 1.25, 1.5, 2, 2.5 },
    .n = 5
};

void
size_tables_write(void)
{
    const int file = mkstemp(tables_path);
    FILE *out = file < 0 ? NULL : fdopen(file, "w");

    if (!out || fputs(tables, out) < 0 || fclose(out) != 0)
        abort();
}

const char *
size_tables_path(void)
{
    return tables_path;
}

void
size_tables_remove(void)
{
    unlink(tables_path);
}

/* ---- Making one ------------------------------------------------------- */

#define MOST_PLACES 16 /* elements, the source among them */

/* An element that others may be put on. */
struct place {
    char name[8];
    size_t pipe;   /* it is a pipe to be chosen; SIZE_MAX */
    size_t chosen; /* the nearest pipe that is, if `cap` is INFINITY */
    double cap;    /* the nearest pipe is in place */
    bool feeds;    /* something is on it */
};

struct maker {
    struct size_site *s;
    unsigned long seed;
    double psi;
    struct place places[MOST_PLACES];
    size_t n_places;
    size_t used; /* of the text */
    int n_fixtures;
};

static void put(struct maker *m, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
put(struct maker *m, const char *format, ...)
{
    const size_t room = sizeof m->s->text - m->used;
    va_list arguments;
    int n;

    va_start(arguments, format);
    n = vsnprintf(m->s->text + m->used, room, format, arguments);
    va_end(arguments);
    if (n < 0 || (size_t)n >= room)
        abort();
    m->used += (size_t)n;
}

/* Seeds that are neighbours begin with much the same numbers. */
static unsigned long
well_mixed(unsigned long seed)
{
    int i;

    for (i = 0; i < 5; i++)
        next_share(&seed);
    return seed;
}

static bool
chance(struct maker *m, double share)
{
    return next_share(&m->seed) < share;
}

static double
between(struct maker *m, double low, double high)
{
    return low + round((high - low) * 10 * next_share(&m->seed)) / 10;
}

/* A length in feet, or metres, for a key that takes a range. */
static double
put_length(struct maker *m, const char *key, double low, double high)
{
    const double unit = m->s->metric ? FOOT : 1;
    const double from = between(m, low, high) * unit;
    const double to = from + between(m, 0, (high - low) / 4) * unit;
    const char *name = m->s->metric ? "m" : "ft";

    if (chance(m, 0.2)) {
        put(m, "%s = %.6f..%.6f %s\n", key, from, to, name);
        return (from + to) / 2;
    }
    put(m, "%s = %.6f %s\n", key, from, name);
    return from;
}

static struct place *
add_place(struct maker *m, const char *kind, const struct place *from)
{
    struct place *p = &m->places[m->n_places];

    *p = *from;
    p->pipe = SIZE_MAX;
    p->feeds = false;
    snprintf(p->name, sizeof p->name, "e%zu", m->n_places++);
    put(m, "[%s %s]\nfrom = %s\n", kind, p->name, from->name);
    return p;
}

/* Half the time the last one, so that runs grow long. */
static struct place *
some_place(struct maker *m)
{
    return &m->places[chance(m, 0.5) ? m->n_places - 1
                                     : next_below(&m->seed, m->n_places)];
}

static void
put_fittings(struct maker *m)
{
    static const char *const lists[] = { "2 elbow 90, 1 tee branch",
                                         "1 tee run", "3 elbow 90",
                                         "1 tee branch, 1 gate valve" };

    put(m, "fittings = %s\n",
        chance(m, 0.6) ? lists[next_below(&m->seed, COUNT(lists))] : "none");
}

static void
put_roughness(struct maker *m)
{
    if (chance(m, 0.3))
        put(m, "condition = %s\n", chance(m, 0.5) ? "aged" : "new");
    if (chance(m, 0.15))
        put(m, "c = %s\n", chance(m, 0.5) ? "90" : "80..120");
}

static void
make_chosen(struct maker *m)
{
    struct place *from = some_place(m);
    const size_t number = m->s->n_pipes++;
    struct chosen_pipe *pipe = &m->s->pipes[number];
    struct place *p = add_place(m, "pipe", from);

    snprintf(pipe->name, sizeof pipe->name, "%s", p->name);
    pipe->upstream = isinf(from->cap) ? from->chosen : SIZE_MAX;
    pipe->cap = from->cap;
    pipe->least = 0;
    pipe->offered = &m->s->offered[next_below(&m->seed, m->s->n_offered)];
    p->pipe = p->chosen = number;
    p->cap = INFINITY;
    from->feeds = true;
    put(m, "material = %s\nsize = @%zu\n", pipe->offered->material, number);
    pipe->length = put_length(m, "length", 4, 90);
    if (chance(m, 0.4))
        put_length(m, "rise", -2,
                   fmin(12, pipe->length / (m->s->metric ? FOOT : 1)));
    put_fittings(m);
    put_roughness(m);
    if (chance(m, 0.4))
        put(m, "velocity limit = %.1f ft/s\n", between(m, 7, 16));
}

static void
make_in_place(struct maker *m)
{
    static const struct {
        const char *keys;
        double inches;
    } kinds[] = {
        { "material = copper L\nsize = 2 in\n", 2 },
        { "material = copper L\nsize = 1-1/2 in\n", 1.5 },
        { "material = steel sch 40\nsize = 1-1/4 in .. 2 in\n", 1.25 },
        { "material = steel sch 40\nsize = 3 in\ninside diameter = 2.2 in\n",
          3 },
        { "c = 110\ninside diameter = 1.9 in\n", INFINITY },
    };
    struct place *from = some_place(m);
    const size_t kind = next_below(&m->seed, COUNT(kinds));
    struct place *p = add_place(m, "pipe", from);

    from->feeds = true;
    p->cap = kinds[kind].inches;
    p->chosen = SIZE_MAX; /* one without a size bounds nothing behind it */
    put(m, "%s", kinds[kind].keys);
    put_length(m, "length", 3, 30);
    if (!isinf(kinds[kind].inches))
        put_fittings(m);
}

static void
make_other(struct maker *m)
{
    static const struct {
        const char *kind, *keys;
    } kinds[] = {
        { "meter", "kind = displacement\nsize = 2 in\n" },
        { "meter", "loss = 4..6 psi at 60 gpm\n" },
        { "backflow", "loss = 0 gpm 5 psi, 40 gpm 6 psi, 90 gpm 9 psi\n" },
        { "device", "loss = 1.5 psi\nrise = 1 ft\n" },
        { "reducer", "set = 62 psi\nfall-off = 4 psi at 60 gpm\n" },
        { "reducer", "set = 50..54 psi\nloss = 2 psi at 60 gpm\n" },
        { "pump", "curve = 0 gpm 60 ft, 60 gpm 45 ft, 150 gpm 10 ft\n" },
        { "pump", "curve = 0 gpm 90 ft, 90 gpm 50 ft\nhold = 66 psi\n" },
        { "pump", "curve = 0 gpm 60 ft, 90 gpm 40 ft\nhold = 40 psi\n" },
        { "pump", "curve = 0 gpm 60 ft, 60 gpm 45 ft\nrunning = no\n" },
    };
    struct place *from = some_place(m);
    const size_t kind = next_below(&m->seed, COUNT(kinds));

    from->feeds = true;
    add_place(m, kinds[kind].kind, from);
    put(m, "%s", kinds[kind].keys);
}

/* Inches of the least supply by IPC, Table 604.5, from memory, as the Chicago
 * Plumbing Code, Table 18-29-604.5, has it (see
 * published/check_published_sites.c); the own one of valve "wide" is its data
 * sheet's below. */
static void
make_fixture(struct maker *m, const struct place *on)
{
    static const struct {
        const char *keys;
        double inches;
        bool converts;
    } kinds[] = {
        { "kind = water closet, flush valve\nsupply size = 1 in\n", 1, false },
        { "kind = water closet, flush valve\nsupply size = 1 in\n"
          "existing = old\nretrofit = new\n",
          1, true },
        { "kind = urinal, flush valve\nexisting = narrow\n", 0.75, false },
        { "kind = urinal, flush valve\nexisting = narrow\n"
          "retrofit = wide\n",
          1.25, true },
        { "kind = lavatory\ncount = 4\n", 0.375, false },
        { "kind = service sink\n", 0.5, false },
    };
    const size_t kind = next_below(&m->seed, m->s->busy ? 4 : COUNT(kinds));

    put(m, "[fixture f%d]\non = %s\n%s", m->n_fixtures++, on->name,
        kinds[kind].keys);
    if (m->s->busy)
        put(m, "fixture units = 2\ncount = 2\n");
    if (chance(m, 0.4))
        put_length(m, "rise", 0, 5);
    if (chance(m, 0.2))
        put(m, "stop = 0.5..1 psi at 20 gpm\n");
    if (on->pipe != SIZE_MAX)
        m->s->pipes[on->pipe].least =
            fmax(m->s->pipes[on->pipe].least, kinds[kind].inches);
    m->s->converted = m->s->converted || kinds[kind].converts;
}

/* By so many psi, a tank by the feet of water that come to so much. */
static void
make_source(struct maker *m)
{
    static const double feet_a_psi = 2.31;
    struct place *p = &m->places[m->n_places++];
    const double off = chance(m, 0.3) ? 2 : 0;

    *p = (struct place){
        .name = "e0", .pipe = SIZE_MAX, .chosen = SIZE_MAX, .cap = INFINITY
    };
    put(m, "[source e0]\n");
    switch (next_below(&m->seed, 3)) {
    case 0:
        put(m, "kind = fixed\npressure = %.6f..%.6f psi\n", m->psi,
            m->psi + off);
        break;
    case 1:
        put(m,
            "kind = street main\nstatic = %.6f..%.6f psi\n"
            "residual = %.6f psi\nresidual flow = 120 gpm\n",
            m->psi, m->psi + off, m->psi - 9);
        break;
    default:
        put(m, "kind = tank\nwater level = %.6f..%.6f ft\nelevation = 0 ft\n",
            m->psi * feet_a_psi, (m->psi + off) * feet_a_psi);
    }
}

static void
offer(struct maker *m, const struct offered *all)
{
    struct offered *o = &m->s->offered[m->s->n_offered++];
    const double unit = m->s->metric ? 1 / FOOT : 1;
    size_t i;

    *o = *all;
    if (!m->s->priced)
        return;
    put(m, "[prices list%zu]\nmaterial = %s\n", m->s->n_offered, o->material);
    for (i = 0; i < o->n; i++) {
        o->price[i] =
            round((3 + 12 * o->inches[i] * o->inches[i] + between(m, -2, 4))
                  * unit * 100)
            / 100;
        if (i > 0 && all != &copper && chance(m, 0.15))
            o->price[i] = 0; /* not to be had */
        else
            put(m, "%s = %.2f\n", o->labels[i], o->price[i]);
    }
    if (chance(m, 0.5)) {
        o->each = between(m, 5, 60);
        put(m, "each = %.2f\n", o->each);
    }
}

static void
make_settings(struct maker *m)
{
    static const char *const tolerances[] = {
        "", "[tolerance]\nlength = 6 %\npressure = 1 psi\n",
        "[tolerance]\nc = 8 %\nelevation = 0.5 ft\n"
    };
    struct size_site *s = m->s;
    const bool own = chance(m, 0.6);

    s->metric = chance(m, 0.4);
    s->priced = !own || chance(m, 0.5);
    put(m, "[site]\nunits = %s\n", s->metric ? "si" : "us");
    if (own)
        put(m, "tables = %s\n", tables_path);
    put(m, "maximum static = %d psi\n", chance(m, 0.05) ? 60 : 400);
    if (chance(m, 0.5))
        put(m, "code minimum = no\n");
    if (chance(m, 0.3))
        put(m, "condition = aged\n");
    if (chance(m, 0.2))
        put(m, "code = upc\n");
    if (chance(m, 0.2))
        put(m, "reserve = 1.5 psi\n");
    if (!s->busy && chance(m, 0.15))
        put(m, "peak = probability\n");
    put(m, "[usage]\ninterval = %s\n", s->busy ? "30 s" : "1 min");
    put(m, "%s", tolerances[next_below(&m->seed, COUNT(tolerances))]);
    offer(m, own ? &tube_a : &copper);
    if (own && chance(m, 0.5))
        offer(m, &tube_b);
}

/* Least pressures as of a data sheet, invented. */
static const char valves[] =
    "[valve old]\nminimum flowing = 12..15 psi\nflow = 25 gpm at 15 psi\n"
    "full flush = 3.5 gal\n"
    "[valve new]\nminimum flowing = 25 psi\nflow = 22..26 gpm at 25 psi\n"
    "full flush = 1.28 gal\n"
    "[valve narrow]\nminimum flowing = 15 psi\nflow = 12 gpm at 15 psi\n"
    "full flush = 1 gal\n"
    "[valve wide]\nminimum flowing = 20 psi\nflow = 20 gpm at 20 psi\n"
    "full flush = 0.5 gal\nsupply size = 1-1/4 in\n";

static void
make_at(struct size_site *s, unsigned long seed, bool busy, double psi)
{
    struct maker m = { .s = s, .seed = well_mixed(seed), .psi = psi };
    size_t n, others = 0, i;

    memset(s, 0, sizeof *s);
    s->busy = busy;
    make_settings(&m);
    make_source(&m);
    n = 2 + next_below(&m.seed, MOST_CHOSEN - 1);
    while (s->n_pipes < n)
        if (others < 5 && chance(&m, 0.35)) {
            others++;
            if (chance(&m, 0.4))
                make_in_place(&m);
            else
                make_other(&m);
        } else
            make_chosen(&m);
    for (i = 0; i < m.n_places; i++)
        if (!m.places[i].feeds || chance(&m, 0.2))
            make_fixture(&m, &m.places[i]);
    put(&m, "%s", valves);
}

/* The source's pressure that would just do with the largest sizes; NAN: none
 * would. */
static double
psi_needed(const struct size_site *s, double psi)
{
    const fc_check_options peak = { .peak_only = true };
    fc_check_result *check = NULL;
    size_t sizes[MOST_CHOSEN], i;
    double needed = -INFINITY;
    fc_site *site;
    int state;

    for (i = 0; i < s->n_pipes; i++)
        sizes[i] = s->pipes[i].offered->n - 1;
    site = site_of(size_site_text(s, sizes));
    ck_assert_int_eq(fc_check_with(site, &peak, &check, NULL), FC_OK);
    for (state = 0; state < (check->converted ? FC_STATES : 1); state++) {
        const fc_range spare = check->states[state].spare_pressure;

        if (!spare.given || isnan(needed))
            needed = NAN;
        else
            needed = fmax(needed, psi - spare.low / PSI);
    }
    fc_check_result_free(check);
    fc_site_free(site);
    return needed;
}

void
size_site_make(struct size_site *s, unsigned long seed, bool busy)
{
    unsigned long again = well_mixed(seed + 77);
    double needed;

    make_at(s, seed, busy, 80);
    needed = psi_needed(s, 80);
    if (!isnan(needed))
        make_at(s, seed, busy,
                fmax(12, needed - 1 + 20 * pow(next_share(&again), 2)));
}

const char *
size_site_text(const struct size_site *s, const size_t *sizes)
{
    static char text[sizeof s->text + 100];
    const char *at;
    char *out = text;

    for (at = s->text; *at; at++)
        if (*at == '@') {
            const size_t pipe = (size_t)(*++at - '0');
            const struct offered *o = s->pipes[pipe].offered;

            out += snprintf(out, 16, "%s",
                            sizes ? o->labels[sizes[pipe]] : "choose");
        } else
            *out++ = *at;
    *out = '\0';
    return text;
}

/* ---- All combinations ------------------------------------------------- */

static size_t
element_named(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (strcmp(site->elements[i].name, name) == 0)
            return i;
    abort();
}

/* Velocities at the worst end, as check reports them for that size. */
static void
find_fast(struct all_sizes *all, size_t place)
{
    const fc_check_options peak = { .peak_only = true };
    fc_check_result *check = NULL;
    size_t i, k;
    int s;

    ck_assert_int_eq(fc_check_with(all->sites[place], &peak, &check, NULL),
                     FC_OK);
    for (i = 0; i < all->of->n_pipes; i++)
        for (k = 0; k < check->n_pipes; k++)
            for (s = 0; s < (check->converted ? FC_STATES : 1); s++)
                if (strcmp(check->pipes[k].name, all->of->pipes[i].name) == 0
                    && check->pipes[k].states[s].velocity.high
                           > check->pipes[k].velocity_limit * (1 + 1e-9))
                    all->fast[i][place] = true;
    fc_check_result_free(check);
}

void
all_sizes_begin(struct all_sizes *all, const struct size_site *of)
{
    size_t sizes[MOST_CHOSEN], place, i;

    memset(all, 0, sizeof *all);
    all->of = of;
    for (place = 0; place < MOST_OFFERED; place++) {
        for (i = 0; i < of->n_pipes; i++)
            sizes[i] = place < of->pipes[i].offered->n
                           ? place
                           : of->pipes[i].offered->n - 1;
        all->sites[place] = site_of(size_site_text(of, sizes));
        find_fast(all, place);
    }
    for (i = 0; i < of->n_pipes; i++) {
        all->element[i] = element_named(all->sites[0], of->pipes[i].name);
        all->own[i] = all->sites[0]->elements[all->element[i]].pipe;
    }
    ck_assert_int_eq(fci_judge_begin(&all->judge, all->sites[0], NULL), FC_OK);
}

void
all_sizes_end(struct all_sizes *all)
{
    size_t i;

    fci_judge_end(&all->judge);
    for (i = 0; i < all->of->n_pipes; i++)
        all->sites[0]->elements[all->element[i]].pipe = all->own[i];
    for (i = 0; i < MOST_OFFERED; i++)
        fc_site_free(all->sites[i]);
}

bool
sizes_may_be(const struct all_sizes *all, const size_t *sizes)
{
    const struct size_site *s = all->of;
    size_t i;

    for (i = 0; i < s->n_pipes; i++) {
        const struct chosen_pipe *p = &s->pipes[i];
        const struct offered *o = p->offered;
        const double inches = o->inches[sizes[i]];
        const double cap =
            p->upstream == SIZE_MAX
                ? p->cap
                : s->pipes[p->upstream].offered->inches[sizes[p->upstream]];

        if (inches > cap || inches < p->least || all->fast[i][sizes[i]]
            || (s->priced && !(o->price[sizes[i]] > 0)))
            return false;
    }
    return true;
}

double
sizes_cost(const struct size_site *s, const size_t *sizes)
{
    double cost = 0;
    size_t i;

    for (i = 0; i < s->n_pipes; i++) {
        const struct offered *o = s->pipes[i].offered;
        const double length = s->pipes[i].length;

        if (s->priced)
            cost += o->price[sizes[i]] * length + o->each;
        else
            cost += o->inches[sizes[i]] * length / (s->metric ? FOOT : 1);
    }
    return cost;
}

/* Its fixtures in one state; more than needed is asked of those only that
 * need something. */
static bool
serves_in(const struct all_sizes *all, fc_state state, double more)
{
    const fc_site *site = all->sites[0];
    const bool to_be =
        state == (all->judge.converted ? FC_RETROFIT : FC_EXISTING);
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(&all->judge, &site->fixtures[i], state);

        if (j.pressure != FC_WORKS || j.on_way != FC_WORKS
            || (to_be && j.works != FC_WORKS)
            || (j.margin.given && j.margin.low < more - FCI_SAME_PRESSURE))
            return false;
    }
    return true;
}

bool
sizes_serve(struct all_sizes *all, const size_t *sizes, double more)
{
    fc_site *site = all->sites[0];
    bool serves = true;
    size_t i;
    int s;

    for (i = 0; i < all->of->n_pipes; i++)
        site->elements[all->element[i]].pipe =
            sizes[i] == 0
                ? all->own[i]
                : all->sites[sizes[i]]->elements[all->element[i]].pipe;
    free(all->judge.supplies);
    all->judge.supplies = fci_supplies(site);
    ck_assert_ptr_nonnull(all->judge.supplies);
    for (s = 0; s < (all->judge.converted ? FC_STATES : 1) && serves; s++) {
        free(all->judge.peak[s]);
        all->judge.peak[s] = fci_march_peak(site, all->judge.demand[s]);
        ck_assert_ptr_nonnull(all->judge.peak[s]);
        free(all->judge.drawn[s]);
        all->judge.drawn[s] = fci_drawn_at_peak(&all->judge, (fc_state)s);
        ck_assert_ptr_nonnull(all->judge.drawn[s]);
        serves = serves_in(all, (fc_state)s, more);
    }
    return serves;
}

static bool
next_sizes(const struct size_site *s, size_t *sizes)
{
    size_t i;

    for (i = 0; i < s->n_pipes; i++) {
        if (++sizes[i] < s->pipes[i].offered->n)
            return true;
        sizes[i] = 0;
    }
    return false;
}

double
cheapest_sizes(struct all_sizes *all, double more, size_t *sizes,
               size_t *n_may)
{
    size_t at[MOST_CHOSEN] = { 0 };
    double best = INFINITY, cost;

    *n_may = 0;
    do {
        if (!sizes_may_be(all, at))
            continue;
        ++*n_may;
        cost = sizes_cost(all->of, at);
        if (cost < best && (isinf(more) || sizes_serve(all, at, more))) {
            best = cost;
            memcpy(sizes, at, sizeof at);
        }
    } while (next_sizes(all->of, at));
    return best;
}
