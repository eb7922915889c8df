/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/valve_keys.c -- the keys of a valve, in a site and in the tables. */
#include "ini/field_rows.h"

static const char *const power_words[] = { "batteries", "wired", NULL };
static const char *const hold_words[] = { "one flush", "runs", NULL };

const struct fci_field fci_valve_fields[] = {
    RANGE("minimum flowing", FC_PRESSURE, FCI_NOT_NEGATIVE, fc_valve,
          minimum_flowing),
    FIGURE("maximum flowing", FC_PRESSURE, FCI_POSITIVE, fc_valve,
           maximum_flowing),
    FIGURE("maximum static", FC_PRESSURE, FCI_POSITIVE, fc_valve,
           maximum_static),
    PAIR("flow", &fci_figure_at_field, FC_FLOW, fc_valve, flow, flow_pressure,
         FC_PRESSURE),
    FIGURE("full flush", FC_VOLUME, FCI_POSITIVE, fc_valve, full_flush),
    FIGURE("reduced flush", FC_VOLUME, FCI_POSITIVE, fc_valve, reduced_flush),
    FIGURE("reduced share", FC_NUMBER, FCI_FRACTION, fc_valve, reduced_share),
    RANGE("closing time", FC_TIME, FCI_NOT_NEGATIVE, fc_valve, closing_time),
    FIGURE("supply size", FC_SIZE, FCI_POSITIVE, fc_valve, supply_size),
    FIGURE("hygiene flush", FC_TIME, FCI_POSITIVE, fc_valve, hygiene_flush),
    YES_NO("regulated", fc_valve, regulated),
    FIGURE("flushes per use", FC_NUMBER, FCI_POSITIVE, fc_valve,
           flushes_per_use),
    YES_NO("sensor", fc_valve, sensor),
    CHOICE("power", power_words, FC_BATTERIES, fc_valve, power),
    CHOICE("held", hold_words, FC_ONE_FLUSH, fc_valve, held),
    FIGURE("sensor delay", FC_TIME, FCI_NOT_NEGATIVE, fc_valve, sensor_delay),
    FIGURE("short stay", FC_TIME, FCI_POSITIVE, fc_valve, short_stay),
    FIGURE("long stay", FC_TIME, FCI_POSITIVE, fc_valve, long_stay),
    RANGE("flushes per battery set", FC_NUMBER, FCI_POSITIVE, fc_valve,
          flushes_per_battery_set),
    RANGE("battery life", FC_TIME, FCI_POSITIVE, fc_valve, battery_life),
};
