/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/shape.c -- the value of a member that a row describes. */
#include "page/shape.h"

#include <string.h>

static bool
is_list(const struct fci_member *member)
{
    return member->type == FCI_M_LIST || member->type == FCI_M_TEXTS
           || member->type == FCI_M_FIGURES;
}

/* Whether the condition of a member holds. */
static bool
is_told(const struct fci_member *member, const char *object)
{
    const char *at = object + member->test, *text;
    fc_dimension dimension;
    size_t i = 0;

    switch (member->condition) {
    case FCI_ALWAYS_TOLD:
        break;
    case FCI_IF_SET:
        while (i < member->test_size && !at[i])
            i++;
        return i < member->test_size;
    case FCI_IF_DIMENSION:
        memcpy(&dimension, at, sizeof dimension);
        return dimension == member->dimension;
    case FCI_IF_ANY_TEXT:
        memcpy(&text, object + member->offset, sizeof text);
        return *text;
    }
    return true;
}

bool
fci_member_value(const struct fci_member *member, struct fci_at at,
                 union fci_value *room, const void **value)
{
    const char *object = at.object;

    if (!is_told(member, object)) {
        *value = NULL;
    } else if (member->get) {
        *value = member->get(at, room);
    } else if (is_list(member)) {
        memcpy(&room->list.items, object + member->offset,
               sizeof room->list.items);
        memcpy(&room->list.n, object + member->count, sizeof room->list.n);
        *value = &room->list;
    } else if (member->flagged) {
        room->word = *(const bool *)(object + member->offset);
        *value = &room->word;
    } else if (member->pointed) {
        memcpy(value, object + member->offset, sizeof *value);
    } else {
        *value = object + member->offset;
    }
    return *value != NULL;
}

const char *
fci_word_of(const struct fci_words *words, int value)
{
    return value >= 0 && (size_t)value < words->n ? words->words[value] : NULL;
}
