// The digest of a flight: CRC-32/ISO-HDLC of every number of every outcome, least significant byte first. The bytes and
// their order are those of examples/digest/src/outcome.rs.

#ifndef DIGEST_H
#define DIGEST_H

#include <stdint.h>

#include "handback.h"

// The state before the first outcome.
#define DIGEST_BEGIN UINT32_MAX

// Adds one outcome of this number of axes.
uint32_t digest_outcome(uint32_t crc, const handback_outcome *outcome, unsigned axis_count);

// The digest of everything that was added.
uint32_t digest_end(uint32_t crc);

#endif
