"use strict";
class Look { debrief = /** @type {Debrief | null} */ (null); }
