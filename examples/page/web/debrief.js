"use strict";
class Debrief { add(/** @type {string} */ name, /** @type {string} */ trace, /** @type {string | null} */ policy) {} }
