package samelight.cli;

import java.nio.file.Path;
import java.util.Set;
import samelight.engine.account.Standing;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.ShootReading;
import samelight.engine.sidecar.CarryHistory;
import samelight.engine.sidecar.SidecarReader;
import samelight.engine.store.FrameStore;
import samelight.engine.store.Plan;
import samelight.engine.store.PlanFile;

/**
 * A shoot that has been grouped, looked at without the right to change it.
 *
 * @param paths its paths
 * @param plan its groups
 * @param reading what was read
 * @param history what its sidecars and journals tell
 * @param standing how far each frame is
 */
record ShootView(
    ShootPaths paths, Plan plan, ShootReading reading, CarryHistory history, Standing standing) {
  /**
   * Looks at a shoot.
   *
   * @param pixels whether the small images are wanted too
   * @throws samelight.engine.files.RefusedInputException if it has not been grouped, or if a file
   *     in it is damaged
   */
  static ShootView of(ShootPaths paths, boolean pixels) {
    Plan plan = PlanFile.read(paths);
    ShootReading reading = FrameStore.load(paths, pixels);
    ShootWork.refuseStrangers(plan, reading.frames(), paths);
    Path root = paths.root();
    CarryHistory history = CarryHistory.of(root, reading.frames());
    Set<String> edited = SidecarReader.editedBefore(root, reading.frames(), ShootWork.maps(paths));
    return new ShootView(
        paths, plan, reading, history, Standing.of(plan, reading.frames(), history, edited));
  }
}
