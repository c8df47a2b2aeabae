"use strict";
function listenToReaction(/** @type {Fly} */ fly, /** @type {Engine} */ engine) {}
