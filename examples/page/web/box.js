"use strict";
function listenToBox(/** @type {Fly} */ fly) {}
