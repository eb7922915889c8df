/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/schema.c -- the JSON Schema of the reports, from their shapes.
 *
 *   JSON Schema draft 2020-12, json-schema.org
 */
#include "page/forms.h"

#include <stdio.h>

/* A value of this type, or null. */
static json_t *
maybe(const char *type)
{
    return json_pack("{s:[s,s]}", "type", type, "null");
}

static json_t *
reference(const struct fci_shape *shape)
{
    return json_pack("{s:o}", "$ref", json_sprintf("#/$defs/%s", shape->name));
}

/* One of the words, or null. */
static json_t *
one_of(const struct fci_words *words)
{
    json_t *list = json_array();
    int bad = 0;

    for (size_t i = 0; i < words->n; i++)
        if (words->words[i])
            bad |= json_array_append_new(list, json_string(words->words[i]));
    bad |= json_array_append_new(list, json_null());
    if (!bad)
        return json_pack("{s:o}", "enum", list);
    json_decref(list);
    return NULL;
}

static json_t *
list_of(json_t *items)
{
    return json_pack("{s:[s,s],s:o}", "type", "array", "null", "items", items);
}

static json_t *
type_of(const struct fci_member *member)
{
    switch (member->type) {
    case FCI_M_TEXT:
        return maybe("string");
    case FCI_M_WORD:
        return one_of(member->words);
    case FCI_M_COUNT:
    case FCI_M_INTEGER:
        return maybe("integer");
    case FCI_M_FLAG:
        return maybe("boolean");
    case FCI_M_OBJECT:
        return json_pack("{s:[o,{s:s}]}", "anyOf", reference(member->shape),
                         "type", "null");
    case FCI_M_LIST:
        return list_of(reference(member->shape));
    case FCI_M_TEXTS:
        return list_of(maybe("string"));
    case FCI_M_FIGURES:
        return list_of(maybe("number"));
    default:
        return maybe("number");
    }
}

static const char *
dimension_name(fc_dimension dimension)
{
    static const char *const names[] = {
        [FC_NUMBER] = NULL,     [FC_PRESSURE] = "pressure",
        [FC_FLOW] = "flow",     [FC_LENGTH] = "length",
        [FC_SIZE] = "size",     [FC_VELOCITY] = "velocity",
        [FC_VOLUME] = "volume", [FC_TIME] = "time",
        [FC_WATER] = "water",   [FC_TEMPERATURE] = "temperature",
    };

    return names[dimension];
}

static int
add_property(json_t *properties, const char *key, const char *about,
             const struct fci_member *member)
{
    const char *dimension = dimension_name(member->dimension);
    json_t *type = type_of(member);
    int bad = !type;

    if (dimension)
        bad |= json_object_set_new(
            type, "description",
            json_sprintf("%s; in the unit that units.%s names", about,
                         dimension));
    else
        bad |= json_object_set_new(type, "description", json_string(about));
    return bad | json_object_set_new(properties, key, type);
}

static int
add_ends(json_t *properties, const struct fci_member *member)
{
    static const char *const ends[] = { "low", "high" };
    int bad = 0;

    for (int i = 0; i < 2; i++) {
        char key[80], about[80];

        snprintf(key, sizeof key, "%s_%s", member->key, ends[i]);
        snprintf(about, sizeof about, "%s end, where the ends differ",
                 ends[i]);
        bad |= add_property(properties, key, about, member);
    }
    return bad;
}

static int
add_members(json_t *object, const struct fci_shape *shape)
{
    json_t *properties = json_object_get(object, "properties");
    json_t *required = json_object_get(object, "required");
    int bad = 0;

    for (size_t i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];

        if (member->type == FCI_M_SPREAD) {
            bad |= add_members(object, member->shape);
            continue;
        }
        bad |= add_property(properties, member->key, member->about, member);
        if (member->type == FCI_M_RANGE)
            bad |= add_ends(properties, member);
        bad |= json_array_append_new(required, json_string(member->key));
    }
    return bad;
}

static json_t *
empty_object(const char *about)
{
    return json_pack("{s:s,s:s,s:b,s:{},s:[]}", "type", "object",
                     "description", about, "additionalProperties", 0,
                     "properties", "required");
}

static int define(json_t *definitions, const struct fci_shape *shape);

/* What the members of a shape refer to. */
static int
define_within(json_t *definitions, const struct fci_shape *shape)
{
    int bad = 0;

    for (size_t i = 0; i < shape->n_members; i++) {
        const struct fci_member *member = &shape->members[i];

        if (member->type == FCI_M_SPREAD)
            bad |= define_within(definitions, member->shape);
        else if (member->shape)
            bad |= define(definitions, member->shape);
    }
    return bad;
}

/* A shape and all within it, each once. */
static int
define(json_t *definitions, const struct fci_shape *shape)
{
    json_t *object;
    int bad;

    if (json_object_get(definitions, shape->name))
        return 0;
    object = empty_object(shape->about);
    bad = json_object_set_new(definitions, shape->name, object);
    if (bad)
        return bad;
    return add_members(object, shape) | define_within(definitions, shape);
}

/* What was set over the file; left out where nothing was. */
static int
add_set(json_t *properties)
{
    static const char *const keys[][2] = {
        { "part", "The part, as --set names it" },
        { "key", "Its key; null: the part was taken out" },
        { "value", "The value; null likewise" },
        { "file", "What the file has; null: nothing, or several values" },
    };
    json_t *members = json_object(), *names = json_array();
    int bad = 0;

    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        bad |=
            json_object_set_new(members, keys[i][0],
                                json_pack("{s:[s,s],s:s}", "type", "string",
                                          "null", "description", keys[i][1]));
        bad |= json_array_append_new(names, json_string(keys[i][0]));
    }
    return bad
           | json_object_set_new(
               properties, "set",
               json_pack("{s:s,s:s,s:{s:s,s:o,s:o,s:b}}", "type", "array",
                         "description",
                         "What was set over the site file; left out where "
                         "nothing was",
                         "items", "type", "object", "properties", members,
                         "required", names, "additionalProperties", 0));
}

/* What every report begins with (see page/json.c). */
static int
add_head(json_t *object, const char *report)
{
    static const struct {
        const char *key, *about;
    } texts[] = {
        { "program", "Name and version of the program" },
        { "site", "The site file, as it was named" },
        { "made", "When the report was made; null where it does not tell" },
        { "digest", "SHA-256 of the site file as it was read" },
        { "tables_digest", "SHA-256 of the file that amends the tables" },
    };
    json_t *properties = json_object_get(object, "properties");
    json_t *required = json_object_get(object, "required");
    int bad = json_object_set_new(properties, "report",
                                  json_pack("{s:s}", "const", report));

    bad |= json_object_set_new(properties, "schema",
                               json_pack("{s:i}", "const", FCI_SCHEMA));
    bad |= json_object_set_new(
        properties, "units",
        json_pack("{s:s,s:s,s:{s:s}}", "type", "object", "description",
                  "The unit of each dimension", "additionalProperties", "type",
                  "string"));
    bad |= add_set(properties);
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        bad |= json_object_set_new(properties, texts[i].key,
                                   json_pack("{s:[s,s],s:s}", "type", "string",
                                             "null", "description",
                                             texts[i].about));
    for (const char *const *key =
             (const char *const[]){ "report", "schema", "units", "program",
                                    "site", "made", "digest", "tables_digest",
                                    NULL };
         *key; key++)
        bad |= json_array_append_new(required, json_string(*key));
    return bad;
}

json_t *
fci_schema(const char *const *reports, const struct fci_shape *const *shapes,
           size_t n)
{
    json_t *definitions = json_object(), *any = json_array();
    json_t *root =
        json_pack("{s:s,s:s,s:o,s:o}", "$schema",
                  "https://json-schema.org/draft/2020-12/schema", "title",
                  "Reports of flushcalc", "oneOf", any, "$defs", definitions);
    int bad = !root;

    for (size_t i = 0; i < n && !bad; i++) {
        json_t *object = empty_object(shapes[i]->about);

        bad = json_array_append_new(any, object);
        if (!bad)
            bad =
                add_head(object, reports[i]) | add_members(object, shapes[i]);
        if (!bad)
            bad = define_within(definitions, shapes[i]);
    }
    if (!bad)
        return root;
    json_decref(root);
    return NULL;
}
