/**
 * From exported JPEGs to the delivered gallery.
 *
 * <p>Purpose: {@link samelight.engine.delivery.ExportMatch} finds the frame of each export, the
 * gallery puts the exports into a folder for each section in the order of the day, and {@link
 * samelight.engine.delivery.DeliveryLog} remembers what was delivered. Inputs: the frames and the
 * plan of a shoot, a folder of exports. Guarantees: an export is opened for reading only; its
 * picture is copied byte for byte, never encoded again; a gallery is seen whole or not at all; a
 * file that the delivery didn't make is never deleted.
 */
@NullMarked
package samelight.engine.delivery;

import org.jspecify.annotations.NullMarked;
