/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/inputs.c -- which figures of a part may be known only as a range.
 */
#include "site/inputs.h"
#include "site/site.h"

#define ANY (-1e300)

#define OWN(type, member)                                                     \
    offsetof(type, member), FCI_IN_PART, offsetof(type, member)
#define ELEMENT(type, member)                                                 \
    offsetof(type, member), FCI_IN_ELEMENT,                                   \
        offsetof(struct fci_element, member)
#define PIPE(member, kept)                                                    \
    offsetof(fc_pipe, member), FCI_IN_PIPE, offsetof(struct fci_pipe, kept)

/* What the tables leave open, that no key of the part gives. */
#define OF_ELEMENT(member)                                                    \
    FCI_NOT_OWN, FCI_IN_ELEMENT, offsetof(struct fci_element, member)
#define OF_PIPE(member)                                                       \
    FCI_NOT_OWN, FCI_IN_PIPE, offsetof(struct fci_pipe, member)

#define WIDENED(tolerance, least, part)                                       \
    offsetof(fc_tolerance, tolerance), least, part
#define AS_GIVEN FCI_NO_TOLERANCE, ANY, 0

/* What most kinds of element have; no tolerance widens a loss. */
#define RISE(kind, place)                                                     \
    {                                                                         \
        kind, "rise", place, FC_LENGTH, FCI_IN_RISE,                          \
            WIDENED(elevation, ANY, 0)                                        \
    }
#define HEIGHT(kind, type, home, of)                                          \
    { kind,                                                                   \
      "elevation",                                                            \
      offsetof(type, elevation),                                              \
      home,                                                                   \
      offsetof(of, height.own),                                               \
      FC_LENGTH,                                                              \
      FCI_IN_RISE,                                                            \
      WIDENED(elevation, ANY, 0) },                                           \
    {                                                                         \
        kind, "elevation", FCI_NOT_OWN, home, offsetof(of, height.floor),     \
            FC_LENGTH, FCI_IN_RISE, WIDENED(elevation, ANY, 0)                \
    }
#define STANDS(kind, type)                                                    \
    RISE(kind, ELEMENT(type, rise)),                                          \
        HEIGHT(kind, type, FCI_IN_ELEMENT, struct fci_element)
#define LOSS(kind, what, type, member)                                        \
    {                                                                         \
        kind, what, OWN(type, member.pressure), FC_PRESSURE, FCI_IN_DEVICE,   \
            AS_GIVEN                                                          \
    }
#define SHAPE(kind)                                                           \
    {                                                                         \
        kind, "shape of the loss curve", OF_ELEMENT(shape), FC_NUMBER,        \
            FCI_IN_SHAPE, AS_GIVEN                                            \
    }

const struct fci_input_row fci_input_rows[] = {
    { FCI_SOURCE, "static pressure", OWN(fc_source, static_pressure),
      FC_PRESSURE, FCI_IN_STATIC, WIDENED(pressure, ANY, 0) },
    { FCI_SOURCE, "static pressure of the flow test",
      OWN(fc_source, test_static), FC_PRESSURE, FCI_IN_FLOW_TEST, AS_GIVEN },
    { FCI_SOURCE, "residual pressure", OWN(fc_source, residual), FC_PRESSURE,
      FCI_IN_FLOW_TEST, WIDENED(pressure, ANY, 0) },
    { FCI_SOURCE, "residual flow", OWN(fc_source, residual_flow), FC_FLOW,
      FCI_IN_FLOW_TEST, WIDENED(flow_test, ANY, 100) },
    { FCI_SOURCE, "drop beyond the flow test", OF_ELEMENT(shape), FC_NUMBER,
      FCI_IN_FLOW_TEST, AS_GIVEN },
    { FCI_SOURCE, "water level", OWN(fc_source, water_level), FC_LENGTH,
      FCI_IN_LEVEL, WIDENED(elevation, ANY, 0) },
    { FCI_SOURCE, "pressure", OWN(fc_source, pressure), FC_PRESSURE,
      FCI_IN_SOURCE_PRESSURE, WIDENED(pressure, ANY, 0) },
    { FCI_SOURCE, "elevation", OWN(fc_source, elevation), FC_LENGTH,
      FCI_IN_LEVEL, AS_GIVEN },
    STANDS(FCI_PIPE, fc_pipe),
    { FCI_PIPE, "length", PIPE(length, length), FC_LENGTH, FCI_IN_LENGTH,
      WIDENED(length, 0, 0) },
    { FCI_PIPE, "C", PIPE(c, c), FC_NUMBER, FCI_IN_C, WIDENED(c, 1, 0) },
    { FCI_PIPE, "inside diameter", PIPE(inside_diameter, bore), FC_LENGTH,
      FCI_IN_BORE, AS_GIVEN },
    { FCI_PIPE, "size", PIPE(size, bore), FC_SIZE, FCI_IN_BORE, AS_GIVEN },
    { FCI_PIPE, "fittings not listed", OF_PIPE(allowance), FC_NUMBER,
      FCI_IN_FITTINGS, AS_GIVEN },
    { FCI_PIPE, "scale", OF_PIPE(scale), FC_NUMBER, FCI_IN_SCALE, AS_GIVEN },
    STANDS(FCI_METER, fc_device),
    LOSS(FCI_METER, "loss", fc_device, loss),
    SHAPE(FCI_METER),
    STANDS(FCI_BACKFLOW, fc_device),
    LOSS(FCI_BACKFLOW, "loss", fc_device, loss),
    SHAPE(FCI_BACKFLOW),
    STANDS(FCI_DEVICE, fc_device),
    LOSS(FCI_DEVICE, "loss", fc_device, loss),
    SHAPE(FCI_DEVICE),
    STANDS(FCI_REDUCER, fc_reducer),
    { FCI_REDUCER, "set pressure", OWN(fc_reducer, set), FC_PRESSURE,
      FCI_IN_SET, WIDENED(pressure, 0, 0) },
    { FCI_REDUCER, "fall-off", OWN(fc_reducer, fall_off), FC_PRESSURE,
      FCI_IN_FALL_OFF, AS_GIVEN },
    LOSS(FCI_REDUCER, "loss", fc_reducer, loss),
    SHAPE(FCI_REDUCER),
    STANDS(FCI_PUMP, fc_pump),
    SHAPE(FCI_PUMP),
    { FCI_PUMP, "discharge set pressure", OWN(fc_pump, hold), FC_PRESSURE,
      FCI_IN_HOLD, WIDENED(pressure, 0, 0) },
    STANDS(FCI_PRESSURE_TANK, fc_pressure_tank),
    { FCI_PRESSURE_TANK, "cut-in", OWN(fc_pressure_tank, cut_in), FC_PRESSURE,
      FCI_IN_SOURCE_PRESSURE, WIDENED(pressure, 0, 0) },
    { FCI_PRESSURE_TANK, "cut-out", OWN(fc_pressure_tank, cut_out),
      FC_PRESSURE, FCI_IN_SOURCE_PRESSURE, WIDENED(pressure, 0, 0) },
    RISE(FCI_FIXTURE, OWN(fc_fixture, rise)),
    HEIGHT(FCI_FIXTURE, fc_fixture, FCI_IN_FIXTURE, struct fci_fixture),
    LOSS(FCI_FIXTURE, "loss of the stop", fc_fixture, stop),
    { FCI_FIXTURE, "count", offsetof(fc_fixture, counts), FCI_IN_FIXTURE,
      offsetof(struct fci_fixture, many), FC_NUMBER, FCI_IN_COUNT, AS_GIVEN },
    { FCI_FIXTURE, "shape of the stop's curve", FCI_NOT_OWN, FCI_IN_FIXTURE,
      offsetof(struct fci_fixture, stop_shape), FC_NUMBER, FCI_IN_SHAPE,
      AS_GIVEN },
    { FCI_VALVE, "rate", OWN(fc_valve, flow), FC_FLOW, FCI_IN_FLOW, AS_GIVEN },
    { FCI_VALVE, "minimum flowing", OWN(fc_valve, minimum_flowing),
      FC_PRESSURE, FCI_IN_MINIMUM, AS_GIVEN },
    { FCI_DEMAND, "flow", offsetof(fc_demand, flow), FCI_IN_DRAW,
      offsetof(struct fci_draw, flow), FC_FLOW, FCI_IN_FLOW, AS_GIVEN },
};

const size_t fci_n_input_rows = sizeof fci_input_rows / sizeof *fci_input_rows;
