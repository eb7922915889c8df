/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/json.c -- a report for programs, by its shape. */
#include "page/forms.h"
#include "ground/plain_print.h"
#include "page/terminal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A path may hold any bytes; what is not UTF-8 becomes question marks. */
static json_t *
text_value(const char *s)
{
    char *clean;
    json_t *text;

    if (!s)
        return json_null();
    clean = strdup(s);
    if (!clean)
        return NULL;
    for (size_t i = 0; clean[i];) {
        struct fci_char c = fci_text_next(clean + i);

        if (c.bytes == 1 && (unsigned char)clean[i] >= 0x80)
            clean[i] = '?';
        i += c.bytes;
    }
    text = json_string(clean);
    free(clean);
    return text;
}

static json_t *
number(double value)
{
    return isfinite(value) ? json_real(value + 0.0) /* no -0.0 */
                           : json_null();
}

static int put_members(json_t *object, const struct fci_data *data,
                       const struct fci_shape *shape, const void *of);

static json_t *
object_of(const struct fci_data *data, const struct fci_shape *shape,
          const void *of)
{
    json_t *object = json_object();

    if (object && put_members(object, data, shape, of) != 0) {
        json_decref(object);
        return NULL;
    }
    return object;
}

static json_t *
item_of(const struct fci_data *data, const struct fci_member *member,
        const struct fci_list *list, size_t i)
{
    switch (member->type) {
    case FCI_M_TEXTS:
        return text_value(((const char *const *)list->items)[i]);
    case FCI_M_FIGURES:
        return number(fc_from_si(data->units, member->dimension,
                                 ((const double *)list->items)[i]));
    default:
        return object_of(data, member->shape,
                         (const char *)list->items + i * member->shape->size);
    }
}

static json_t *
list_of(const struct fci_data *data, const struct fci_member *member,
        const struct fci_list *list)
{
    json_t *array = json_array();

    for (size_t i = 0; array && i < list->n; i++)
        if (json_array_append_new(array, item_of(data, member, list, i))
            != 0) {
            json_decref(array);
            return NULL;
        }
    return array;
}

static int
put_end(json_t *object, const struct fci_data *data,
        const struct fci_member *member, const char *end, double si)
{
    char key[80];

    snprintf(key, sizeof key, "%s_%s", member->key, end);
    return json_object_set_new(
        object, key, number(fc_from_si(data->units, member->dimension, si)));
}

/* Ends that differ by less than the digits of a report show are one. */
#define SAME 1e-9

static int
put_range(json_t *object, const struct fci_data *data,
          const struct fci_member *member, const fc_range *range)
{
    int bad = json_object_set_new(
        object, member->key,
        range->given ? number(
            fc_from_si(data->units, member->dimension, range->nominal))
                     : json_null());

    if (range->given
        && range->high - range->low
               > SAME * fmax(fabs(range->low), fabs(range->high))) {
        bad |= put_end(object, data, member, "low", range->low);
        bad |= put_end(object, data, member, "high", range->high);
    }
    return bad;
}

static json_t *
value_of(const struct fci_data *data, const struct fci_member *member,
         const void *value)
{
    switch (member->type) {
    case FCI_M_TEXT:
        return text_value(*(const char *const *)value);
    case FCI_M_WORD:
        return text_value(
            fci_word_of(member->words, (int)*(const unsigned *)value));
    case FCI_M_COUNT:
        return json_integer((json_int_t) * (const size_t *)value);
    case FCI_M_INTEGER:
        return json_integer(*(const int *)value);
    case FCI_M_FLAG:
        return json_boolean(*(const bool *)value);
    case FCI_M_NUMBER:
        return number(*(const double *)value);
    case FCI_M_FIGURE:
        return number(fc_from_si(data->units, member->dimension,
                                 *(const double *)value));
    case FCI_M_OBJECT:
        return object_of(data, member->shape, value);
    default:
        return list_of(data, member, value);
    }
}

static int
put_members(json_t *object, const struct fci_data *data,
            const struct fci_shape *shape, const void *of)
{
    const struct fci_at at = { data->root, of };
    int bad = 0;

    for (size_t i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];
        union fci_value room;
        const void *value;

        if (!fci_member_value(member, at, &room, &value)
            && member->type != FCI_M_SPREAD)
            bad |= json_object_set_new(object, member->key, json_null());
        else if (member->type == FCI_M_SPREAD)
            bad |= put_members(object, data, member->shape, value);
        else if (member->type == FCI_M_RANGE)
            bad |= put_range(object, data, member, value);
        else
            bad |= json_object_set_new(object, member->key,
                                       value_of(data, member, value));
    }
    return bad;
}

static int
put_units(json_t *object, fc_unit_system units)
{
    static const struct {
        const char *key;
        fc_dimension dimension;
    } dimensions[] = {
        { "pressure", FC_PRESSURE }, { "flow", FC_FLOW },
        { "length", FC_LENGTH },     { "size", FC_SIZE },
        { "velocity", FC_VELOCITY }, { "volume", FC_VOLUME },
        { "water", FC_WATER },
    };
    json_t *names = json_object();
    int bad = 0;

    for (size_t i = 0; i < sizeof dimensions / sizeof *dimensions; i++)
        bad |= json_object_set_new(
            names, dimensions[i].key,
            json_string(fc_unit_name(units, dimensions[i].dimension)));
    return bad | json_object_set_new(object, "units", names);
}

/* Nothing where the site is as its file has it. */
static int
put_set(json_t *root, const struct fci_data *data)
{
    json_t *list = data->n_set > 0 ? json_array() : NULL;
    int bad = 0;

    for (size_t i = 0; i < data->n_set; i++) {
        const fc_set_value *set = &data->set[i];
        json_t *one = json_object();

        bad |= json_object_set_new(one, "part", text_value(set->part));
        bad |= json_object_set_new(one, "key", text_value(set->key));
        bad |= json_object_set_new(one, "value", text_value(set->value));
        bad |= json_object_set_new(one, "file",
                                   text_value(set->differs ? NULL : set->was));
        bad |= json_array_append_new(list, one);
    }
    return data->n_set > 0 ? bad | json_object_set_new(root, "set", list) : 0;
}

static int
put_head(json_t *root, const struct fci_data *data)
{
    int bad = json_object_set_new(root, "report", json_string(data->report));

    bad |= json_object_set_new(root, "schema", json_integer(FCI_SCHEMA));
    bad |= json_object_set_new(root, "program",
                               json_sprintf("flushcalc %s", fc_version()));
    bad |= json_object_set_new(root, "site", text_value(data->site));
    bad |= json_object_set_new(root, "made", text_value(data->made));
    bad |= json_object_set_new(root, "digest", text_value(data->digest));
    bad |= json_object_set_new(root, "tables_digest",
                               text_value(data->tables_digest));
    bad |= put_set(root, data);
    return bad | put_units(root, data->units);
}

static int
write_piece(const char *buffer, size_t size, void *out)
{
    return fwrite(buffer, 1, size, out) == size ? 0 : -1;
}

/* Of a locale's point jansson finds a single byte. */
bool
fci_json_write(const json_t *root, size_t flags, FILE *out)
{
    const struct fci_point point = fci_point_enter();
    const int bad = json_dump_callback(root, write_piece, out, flags);

    fci_point_leave(point);
    return !bad;
}

/* All but ASCII is written as \u escapes: a program reads the same, and a
 * terminal is steered by none of it. */
bool
fci_json_form(const struct fci_data *data, FILE *out)
{
    const size_t flags = (data->line ? JSON_COMPACT : JSON_INDENT(2))
                         | JSON_ENSURE_ASCII | JSON_REAL_PRECISION(FCI_DIGITS);
    json_t *root = json_object();
    int bad = !root;

    if (root)
        bad = put_head(root, data)
              | put_members(root, data, data->shape, data->root);
    if (!bad)
        bad = !fci_json_write(root, flags, out);
    fputc('\n', out);
    json_decref(root);
    return !bad;
}
