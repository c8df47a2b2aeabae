// The digest of a flight: CRC-32/ISO-HDLC of every number of every outcome, least byte first. The same bytes in the same
// order as in examples/conformance/flight/src/row.rs.

#ifndef DIGEST_H
#define DIGEST_H

#include <stdint.h>

#include "handback.h"

// Of no outcome yet.
#define DIGEST_BEGIN UINT32_MAX

// Goes on with one outcome of so many axes.
uint32_t digest_outcome(uint32_t crc, const handback_outcome *outcome, unsigned axis_count);

// Of all that was added.
uint32_t digest_end(uint32_t crc);

#endif
