"use strict";
function listenToDevices(/** @type {Fly} */ fly) {}
