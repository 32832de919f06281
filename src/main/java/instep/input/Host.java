package instep.input;

import java.nio.file.Path;

/** Where devices are looked for, and how they are opened: the machine, or in tests what stands for it. */
record Host(Sysfs sysfs, NodeOpener opener, HidListing hid) {
    /** This machine. */
    static Host machine() {
        return new Host(new Sysfs(Path.of("/sys"), Path.of("/dev")), new KernelNodes(), new Hid4JavaListing());
    }
}
