/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/inputs.c -- which figures of a part may be known only as a range.
 */
#include "site/inputs.h"

#define ANY (-1e300)

#define ROW(kind, what, type, member, dimension, measured, tolerance, least,  \
            part)                                                             \
    {                                                                         \
        kind, what, offsetof(type, member), dimension, measured,              \
            offsetof(fc_tolerance, tolerance), least, part                    \
    }
#define RISE(kind, type)                                                      \
    ROW(kind, "rise", type, rise, FC_LENGTH, FCI_IN_RISE, elevation, ANY, 0)
/* No tolerance widens a loss. */
#define LOSS(kind, what, type, member)                                        \
    {                                                                         \
        kind, what, offsetof(type, member.pressure), FC_PRESSURE,             \
            FCI_IN_DEVICE, FCI_NO_TOLERANCE, ANY, 0                           \
    }

const struct fci_input_row fci_input_rows[] = {
    ROW(FCI_SOURCE, "static pressure", fc_source, static_pressure, FC_PRESSURE,
        FCI_IN_STATIC, pressure, ANY, 0),
    ROW(FCI_SOURCE, "residual pressure", fc_source, residual, FC_PRESSURE,
        FCI_IN_FLOW_TEST, pressure, ANY, 0),
    ROW(FCI_SOURCE, "residual flow", fc_source, residual_flow, FC_FLOW,
        FCI_IN_FLOW_TEST, flow_test, ANY, 100),
    ROW(FCI_SOURCE, "water level", fc_source, water_level, FC_LENGTH,
        FCI_IN_LEVEL, elevation, ANY, 0),
    ROW(FCI_SOURCE, "pressure", fc_source, pressure, FC_PRESSURE,
        FCI_IN_SOURCE_PRESSURE, pressure, ANY, 0),
    { FCI_SOURCE, "elevation", offsetof(fc_source, elevation), FC_LENGTH,
      FCI_IN_LEVEL, FCI_NO_TOLERANCE, ANY, 0 },
    RISE(FCI_PIPE, fc_pipe),
    ROW(FCI_PIPE, "length", fc_pipe, length, FC_LENGTH, FCI_IN_LENGTH, length,
        0, 0),
    ROW(FCI_PIPE, "C", fc_pipe, c, FC_NUMBER, FCI_IN_C, c, 1, 0),
    RISE(FCI_METER, fc_device),
    LOSS(FCI_METER, "loss", fc_device, loss),
    RISE(FCI_BACKFLOW, fc_device),
    LOSS(FCI_BACKFLOW, "loss", fc_device, loss),
    RISE(FCI_DEVICE, fc_device),
    LOSS(FCI_DEVICE, "loss", fc_device, loss),
    RISE(FCI_REDUCER, fc_reducer),
    ROW(FCI_REDUCER, "setting", fc_reducer, set, FC_PRESSURE, FCI_IN_SET,
        pressure, 0, 0),
    LOSS(FCI_REDUCER, "loss", fc_reducer, loss),
    RISE(FCI_PUMP, fc_pump),
    ROW(FCI_PUMP, "pressure held", fc_pump, hold, FC_PRESSURE, FCI_IN_HOLD,
        pressure, 0, 0),
    RISE(FCI_FIXTURE, fc_fixture),
    LOSS(FCI_FIXTURE, "loss of the stop", fc_fixture, stop),
    { FCI_VALVE, "rate", offsetof(fc_valve, flow), FC_FLOW, FCI_IN_FLOW,
      FCI_NO_TOLERANCE, ANY, 0 },
};

const size_t fci_n_input_rows = sizeof fci_input_rows / sizeof *fci_input_rows;
